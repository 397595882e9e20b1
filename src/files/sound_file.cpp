#include "files/sound_file.hpp"

#include <cmath>
#include <filesystem>
#include <limits>

#include <fmt/format.h>
#include <sndfile.h>

#include "earbudget/measurement/weighting_filter.hpp"
#include "files/limits.hpp"
#include "files/sound_data_size.hpp"
#include "files/sound_unfinished.hpp"

namespace earbudget::files {

namespace {

constexpr sf_count_t unknown_frames = std::numeric_limits<sf_count_t>::max();

// A number far beyond any scale that recorders write in; its square and sums of it stay finite.
constexpr double largest_sample = 1e9;

std::optional<Quantization> linear(int bits) {
    const double step = std::ldexp(1.0, 1 - bits);
    return Quantization{1.0 - step, step};
}

std::optional<Quantization> quantization_of(int format) {
    switch (format & SF_FORMAT_SUBMASK) {
        case SF_FORMAT_PCM_S8:
        case SF_FORMAT_PCM_U8:
            return linear(8);
        case SF_FORMAT_PCM_16:
        case SF_FORMAT_ALAC_16:
            return linear(16);
        case SF_FORMAT_ALAC_20:
            return linear(20);
        case SF_FORMAT_PCM_24:
        case SF_FORMAT_ALAC_24:
        // No converter delivers more than 24 bits: 32 are a container.
        case SF_FORMAT_PCM_32:
        case SF_FORMAT_ALAC_32:
            return linear(24);
        // ITU-T G.711, tables 1a and 2a: largest decoded values 4032/4096 and 8031/8192, and their
        // distance from the next (memory; libsndfile decodes 32256 and 32124 of 32768).
        case SF_FORMAT_ALAW:
            return Quantization{32256.0 / 32768.0, 1024.0 / 32768.0};
        case SF_FORMAT_ULAW:
            return Quantization{32124.0 / 32768.0, 1024.0 / 32768.0};
        default:
            return std::nullopt;
    }
}

std::string why_not_opened() {
    switch (sf_error(nullptr)) {
        case SF_ERR_UNRECOGNISED_FORMAT:
            return "not a sound file";
        case SF_ERR_MALFORMED_FILE:
            return "a damaged or truncated sound file";
        case SF_ERR_UNSUPPORTED_ENCODING:
            return "a sound file in an encoding that cannot be read";
        default:
            return sf_strerror(nullptr);
    }
}

}  // namespace

struct SoundFile::Handle {
    SNDFILE* file = nullptr;
    SF_INFO info = {};
    std::unique_ptr<UnfinishedWav> unfinished;  // what `file` reads from, where it is not a path

    Handle() = default;
    Handle(const Handle&) = delete;
    Handle& operator=(const Handle&) = delete;
    ~Handle() {
        if (file) sf_close(file);
    }
};

SoundFile::SoundFile(std::string path)
    : path_(std::move(path)), handle_(std::make_unique<Handle>()) {
    std::error_code failure;
    const auto status = std::filesystem::status(path_, failure);
    if (failure && failure != std::errc::no_such_file_or_directory) refuse(failure.message());
    if (!std::filesystem::exists(status)) refuse("no such file");
    if (std::filesystem::is_directory(status)) refuse("a folder");
    if (!std::filesystem::is_regular_file(status)) refuse("not a regular file");
    if (std::filesystem::file_size(path_, failure) == 0 && !failure) refuse("an empty file");
    handle_->file = sf_open(path_.c_str(), SFM_READ, &handle_->info);
    if (!handle_->file && std::filesystem::path(path_).extension() == ".toml") {
        refuse(
            "a TOML file (earbudget assess takes plans, earbudget review cards, earbudget ratings "
            "catalogues)");
    }
    if (!handle_->file) refuse(why_not_opened());
    reopen_if_unfinished();
    refuse_unusable();
}

SoundFile::~SoundFile() = default;

void SoundFile::refuse(const std::string& why) const {
    throw InputError({path_, 1, 1},
                     fmt::format("cannot measure \"{}\": {}; accepted: a whole sound file (WAV, "
                                 "FLAC, AIFF and others) sampled at {:.0f} to {:.0f} Hz",
                                 path_, why, lowest_sample_rate.Hz(), highest_sample_rate.Hz()));
}

void SoundFile::reopen_if_unfinished() {
    const auto size = sound_data_size(path_);
    const bool wav = (handle_->info.format & SF_FORMAT_TYPEMASK) == SF_FORMAT_WAV ||
                     (handle_->info.format & SF_FORMAT_TYPEMASK) == SF_FORMAT_WAVEX;
    if (!wav || handle_->info.frames > 0 || !size || size->known || size->present == 0) return;
    auto unfinished = std::make_unique<UnfinishedWav>(path_, size->begin);
    sf_close(handle_->file);
    handle_->info = {};
    handle_->unfinished = std::move(unfinished);
    handle_->file = handle_->unfinished->open(handle_->info);
    if (!handle_->file) refuse(why_not_opened());
}

void SoundFile::refuse_unusable() const {
    const SF_INFO& info = handle_->info;
    if (info.samplerate < lowest_sample_rate.Hz() || info.samplerate > highest_sample_rate.Hz()) {
        refuse(fmt::format("sampled at {} Hz", info.samplerate));
    }
    if (channels() > most_channels) {
        refuse(
            fmt::format("{} channels, of which at most {} are measured together; cut the others "
                        "off first",
                        channels(), most_channels));
    }
    const auto size = sound_data_size(path_);
    if (size && size->truncated()) {
        refuse(fmt::format("truncated: the header announces {} bytes of samples, {} are there",
                           size->announced, size->present));
    }
    if (info.frames <= 0) refuse("no samples in it");
    const bool ogg = (info.format & SF_FORMAT_TYPEMASK) == SF_FORMAT_OGG;
    if (ogg && info.frames == unknown_frames) refuse("truncated: it has no end");
}

Frequency SoundFile::sample_rate() const { return Frequency(handle_->info.samplerate); }

std::size_t SoundFile::channels() const { return static_cast<std::size_t>(handle_->info.channels); }

std::optional<Quantization> SoundFile::quantization() const {
    return quantization_of(handle_->info.format);
}

std::optional<Seconds> SoundFile::announced_duration() const {
    if (handle_->info.frames == unknown_frames) return std::nullopt;
    return Seconds(static_cast<double>(handle_->info.frames) / sample_rate().Hz());
}

std::size_t SoundFile::read(std::span<double> interleaved) {
    const std::size_t wanted = interleaved.size() / channels();
    const sf_count_t got =
        sf_readf_double(handle_->file, interleaved.data(), static_cast<sf_count_t>(wanted));
    const auto frames = static_cast<std::size_t>(got > 0 ? got : 0);
    // Integers are finite.
    if (!quantization()) check(interleaved.first(frames * channels()));
    frames_read_ += frames;
    if (frames < wanted) {
        const auto announced = handle_->info.frames;
        if (announced != unknown_frames && frames_read_ < static_cast<std::uint64_t>(announced)) {
            refuse(
                fmt::format("truncated or damaged: the header announces {} frames, {} can be read",
                            announced, frames_read_));
        }
        if (sf_error(handle_->file) != SF_ERR_NO_ERROR) {
            refuse(fmt::format("damaged after frame {}: {}", frames_read_,
                               sf_strerror(handle_->file)));
        }
        if (frames_read_ == 0) refuse("no samples in it");
    }
    return frames;
}

void SoundFile::check(std::span<const double> samples) const {
    for (std::size_t n = 0; n < samples.size(); ++n) {
        if (std::abs(samples[n]) <= largest_sample) continue;
        const auto frame = frames_read_ + n / channels() + 1;
        const auto channel = n % channels() + 1;
        refuse(
            fmt::format("frame {}, channel {} is {}", frame, channel,
                        std::isfinite(samples[n]) ? "too large a number" : "not a finite number"));
    }
}

}  // namespace earbudget::files
