#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include <sndfile.h>

#include "files/open_file.hpp"

namespace earbudget::files {

/// An open file's bytes as libsndfile asks for them.
///
/// A WAV file's header may still say that it holds no samples, because its recorder streamed or was
/// switched off: it is then read as if the header said that they reach to the end of the file,
/// which libsndfile understands.
class SoundBytes {
  public:
    /// Of an unfinished WAV file `data_begin` is the position of the first sample; the four bytes
    /// before are its size. The file must outlive this.
    explicit SoundBytes(const OpenFile& file,
                        std::optional<std::uint64_t> data_begin = std::nullopt);

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

    void announce_the_rest(char* bytes, sf_count_t count) const;

    const OpenFile& file_;
    std::optional<sf_count_t> size_field_;
    sf_count_t length_;
    sf_count_t position_ = 0;
    std::string failure_;
};

}  // namespace earbudget::files
