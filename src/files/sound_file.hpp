#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/measurement/sample_source.hpp"
#include "earbudget/study/input_error.hpp"

namespace earbudget::files {

/// A recording in any format that libsndfile reads, as a stream of frames.
///
/// Opening throws InputError at FILE:1:1 for a file that is missing, is not a sound file, is empty
/// or truncated, or is sampled outside 8 to 192 kHz; reading throws it for samples that are no
/// numbers and for what only turns out to be truncated at its end. Ogg and MP3 files that
/// end between two packets cannot be told from whole ones.
class SoundFile final : public SampleSource {
  public:
    explicit SoundFile(std::string path);
    ~SoundFile() override;

    [[nodiscard]] Frequency sample_rate() const override;
    [[nodiscard]] std::size_t channels() const override;
    [[nodiscard]] std::optional<Quantization> quantization() const override;
    [[nodiscard]] std::size_t read(std::span<double> interleaved) override;

    /// Length by the header; none where the header does not say.
    [[nodiscard]] std::optional<Seconds> announced_duration() const;

  private:
    struct Handle;

    [[noreturn]] void refuse(const std::string& why) const;
    void reopen_if_unfinished();
    void refuse_unusable() const;
    void check(std::span<const double> samples) const;

    std::string path_;
    std::unique_ptr<Handle> handle_;
    std::uint64_t frames_read_ = 0;
};

}  // namespace earbudget::files
