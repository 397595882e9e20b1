#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>

#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/flac_inside.hpp"
#include "files/open_file.hpp"
#include "files/sound_structure.hpp"

namespace earbudget::files {

/// A recording in any format that libsndfile reads, as a stream of frames.
///
/// Opening throws InputError at FILE:1:1 for a file that is missing, is not a sound file, is empty
/// or truncated, or is sampled outside 8 to 192 kHz, and for what its own structure shows to be
/// damaged; reading throws it for samples that are no numbers, for what only turns out to be
/// truncated at its end, for damage that the decoder meets, and with its last samples where a sum
/// of all does not fit, so that no level comes from it.
/// Damage that no format can show is in docs/limits.md.
class SoundFile final : public SampleSource {
  public:
    explicit SoundFile(std::string path);

    /// Of a file that several read.
    explicit SoundFile(std::shared_ptr<const OpenFile> file);
    ~SoundFile() override;

    /// As opening throws it.
    [[nodiscard]] static std::shared_ptr<const OpenFile> open(std::string path);

    [[nodiscard]] Frequency sample_rate() const override;
    [[nodiscard]] std::size_t channels() const override;
    [[nodiscard]] std::optional<Quantization> quantization() const override;
    /// Best asked for after reading: what was not read of a FLAC file is then looked through.
    /// Throws InputError where that cannot be read.
    [[nodiscard]] SourceState state() const override;
    [[nodiscard]] std::size_t read(std::span<double> interleaved) override;

    /// Length by the header; none where the header does not say.
    [[nodiscard]] std::optional<Seconds> announced_duration() const;

    /// SHA-256 of the bytes that were read. To be called after reading: throws InputError for a
    /// file that has changed since it was opened.
    [[nodiscard]] std::string sha256();

    /// From now on it is worked out by another thread, where it takes time.
    void hash_meanwhile();

  private:
    [[noreturn]] void refuse(const std::string& why) const;
    [[noreturn]] void refuse_changed() const;
    [[nodiscard]] bool is_changed() const;
    void refuse_damaged();
    void open_sound();
    void take_sizes();
    [[nodiscard]] SourceState state_of(const std::optional<SoundDataSize>& size) const;
    void refuse_unusable() const;
    [[nodiscard]] std::int64_t decode(std::span<double> interleaved, std::size_t frames) const;
    void check(std::span<const double> samples) const;
    void add_to_sum(std::span<const double> samples, bool is_last);

    std::shared_ptr<const OpenFile> file_;
    std::unique_ptr<FlacInside> flac_inside_;  // into which the handle's reading looks
    std::unique_ptr<SoundHandle> handle_;
    std::optional<MpegFrames> mpeg_;
    std::optional<FlacEnd> flac_;
    std::optional<FlacSum> flac_sum_;  // until it was checked
    SourceState state_;
    std::uint64_t frames_read_ = 0;
    std::optional<Sha256Meanwhile> hash_;
};

}  // namespace earbudget::files
