#pragma once

#include <cstdint>
#include <cstdio>
#include <limits>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

#include <sndfile.h>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "files/flac_inside.hpp"
#include "files/open_file.hpp"

namespace earbudget::files {

/// The part of a file that a decoder is shown, in a form that it understands.
struct ShownBytes {
    std::uint64_t begin = 0;
    std::uint64_t end = 0;
    /// Shown in the place of what the file has from `begin` and this position on.
    std::uint64_t replaced_at = 0;
    std::string replaced_by = {};
};

/// An open file's bytes as libsndfile asks for them.
class SoundBytes {
  public:
    /// The file must outlive this, and so must what looks at all that is read of it, if any.
    SoundBytes(const OpenFile& file, ShownBytes shown, FlacInside* inside);

    /// Null on failure, as sf_open; the handle must be closed before this object goes.
    [[nodiscard]] SNDFILE* open(SF_INFO& info);

    /// Why the system did not give bytes that it was asked for; empty where it gave them all.
    [[nodiscard]] const std::string& failure() const { return failure_; }

  private:
    static sf_count_t length(void* self);
    static sf_count_t seek(sf_count_t offset, int whence, void* self);
    static sf_count_t read(void* buffer, sf_count_t count, void* self);
    static sf_count_t write(const void* buffer, sf_count_t count, void* self);
    static sf_count_t tell(void* self);

    void replace(char* bytes, sf_count_t count) const;

    const OpenFile& file_;
    ShownBytes shown_;
    sf_count_t length_;
    sf_count_t position_ = 0;
    FlacInside* inside_;
    std::string failure_;
};

/// A sound file that libsndfile has open, and what it reads from.
struct SoundHandle {
    SNDFILE* file = nullptr;
    SF_INFO info = {};
    std::unique_ptr<SoundBytes> bytes = nullptr;

    SoundHandle() = default;
    SoundHandle(const SoundHandle&) = delete;
    SoundHandle& operator=(const SoundHandle&) = delete;
    ~SoundHandle() { close(); }

    void close();
    /// `file` is null on failure.
    void open(const OpenFile& from, ShownBytes shown, FlacInside* inside = nullptr);
};

/// Frames of a sound whose end nobody knows.
inline constexpr sf_count_t unknown_frames = std::numeric_limits<sf_count_t>::max();

/// While it lives, what a library says on standard error is kept instead.
///
/// The decoder of MPEG sound tells of some damage in no other way. `stderr` is a variable in the
/// GNU C library ("Standard Streams" in its manual), which is set and set back: descriptor 2 stays
/// what it is. Of several threads one at a time can have it; none of this program's writes to
/// standard error while recordings are read.
class DecoderWords {
  public:
    /// Throws std::bad_alloc, as first_line does.
    DecoderWords();
    DecoderWords(const DecoderWords&) = delete;
    DecoderWords& operator=(const DecoderWords&) = delete;
    ~DecoderWords();

    /// The first line said so far, without characters that cannot be printed; empty for none.
    [[nodiscard]] std::string first_line() const;

  private:
    std::lock_guard<std::mutex> alone_;
    char* words_ = nullptr;
    std::size_t size_ = 0;
    std::FILE* kept_in_;
    std::FILE* before_;
};

// What is known of the samples of a recording by their encoding, as libsndfile names it in
// SF_INFO::format.

/// The largest value and the step of samples that are whole numbers; none for others.
[[nodiscard]] std::optional<Quantization> quantization_of(int format);

/// How far a level may be off by what the encoding drops; none for what gives back what was
/// written, to its own rounding. What is not known is taken to lose as much as the worst; A-law and
/// µ-law cost faint bands as much as others do.
[[nodiscard]] std::optional<LevelDifference> loss_of(int format);

/// Bytes of one sample in a file; 0 where they are not all of one size.
[[nodiscard]] unsigned bytes_of_sample(int format);

}  // namespace earbudget::files
