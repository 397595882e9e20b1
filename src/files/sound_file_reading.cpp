#include <cerrno>
#include <cmath>
#include <new>
#include <utility>

#include <fmt/format.h>

#include "files/sound_decoder.hpp"
#include "files/sound_file.hpp"

namespace earbudget::files {

namespace {

// A number far beyond any scale that recorders write in; its square and sums of it stay finite.
constexpr double largest_sample = 1e9;

void require_MD5(int succeeded) {
    if (succeeded != 1) throw std::runtime_error("MD5 could not be computed");
}

/// So many bytes of each sample, the lowest first.
template <std::size_t Bytes>
void write_samples(std::span<const double> samples, double scale, unsigned char* to) {
    for (const double sample : samples) {
        // Exact: the decoder divided by this power of two.
        const auto value = static_cast<std::uint64_t>(static_cast<std::int64_t>(sample * scale));
        for (std::size_t n = 0; n < Bytes; ++n)
            *to++ = static_cast<unsigned char>(value >> 8 * n);
    }
}

}  // namespace

FlacSum::FlacSum(const Digest& stated, unsigned bits) : stated_(stated), bits_(bits) {
    require_MD5(MD5_Init(&state_));
}

std::optional<FlacSum> FlacSum::stated_by(const OpenFile& file) {
    const auto header = flac_header(file);
    if (!header || header->MD5 == Digest{}) return std::nullopt;
    return FlacSum(header->MD5, header->bits);
}

void FlacSum::add(std::span<const double> interleaved) {
    const double scale = std::ldexp(1.0, static_cast<int>(bits_) - 1);
    const unsigned bytes = (bits_ + 7) / 8;
    bytes_.resize(interleaved.size() * bytes);
    switch (bytes) {
        case 1:
            write_samples<1>(interleaved, scale, bytes_.data());
            break;
        case 2:
            write_samples<2>(interleaved, scale, bytes_.data());
            break;
        case 3:
            write_samples<3>(interleaved, scale, bytes_.data());
            break;
        default:
            write_samples<4>(interleaved, scale, bytes_.data());
    }
    require_MD5(MD5_Update(&state_, bytes_.data(), bytes_.size()));
}

bool FlacSum::fits() {
    Digest found{};
    require_MD5(MD5_Final(found.data(), &state_));
    return found == stated_;
}

/// Frames read. What the decoder of MPEG sound says meanwhile is of damage.
std::int64_t SoundFile::decode(std::span<double> interleaved, std::size_t frames) const {
    const auto read = [&] {
        errno = 0;
        const sf_count_t got =
            sf_readf_double(handle_->file, interleaved.data(), static_cast<sf_count_t>(frames));
        // That is no fault of the recording, whatever its decoder says.
        if (errno == ENOMEM) throw std::bad_alloc();
        return got;
    };
    if (!mpeg_ || mpeg_->has_checksum) return read();
    std::string said;
    sf_count_t got = 0;
    {
        const DecoderWords words;
        got = read();
        said = words.first_line();
    }
    if (!said.empty()) {
        refuse(fmt::format("damaged near frame {}: its decoder cannot make sense of it",
                           frames_read_ + 1));
    }
    return got;
}

std::size_t SoundFile::read(std::span<double> interleaved) {
    const auto announced = handle_->info.frames;
    std::size_t wanted = interleaved.size() / channels();
    if (announced != unknown_frames) {
        wanted = static_cast<std::size_t>(
            std::min<std::uint64_t>(wanted, static_cast<std::uint64_t>(announced) - frames_read_));
    }
    if (wanted == 0) return 0;
    const sf_count_t got = decode(interleaved, wanted);
    // The next call forgets it.
    const int error = sf_error(handle_->file);
    const auto frames = static_cast<std::size_t>(got > 0 ? got : 0);
    // Integers are finite.
    if (!quantization()) check(interleaved.first(frames * channels()));
    frames_read_ += frames;
    const auto samples = interleaved.first(frames * channels());
    if (!handle_->bytes->failure().empty()) refuse(handle_->bytes->failure());
    if (frames < wanted && announced != unknown_frames) {
        refuse(fmt::format("truncated or damaged: the header announces {} frames, {} can be read",
                           announced, frames_read_));
    }
    if (error != SF_ERR_NO_ERROR) {
        refuse(
            fmt::format("damaged before frame {}: {}", frames_read_ + 1, sf_error_number(error)));
    }
    if (frames_read_ == 0) refuse("no samples in it");
    add_to_sum(samples, frames == 0 || std::cmp_equal(frames_read_, announced));
    return frames;
}

void SoundFile::hash_meanwhile() {
    // To hash less takes no longer than to begin a thread.
    constexpr std::uint64_t worth_a_thread = std::uint64_t{1} << 20U;
    if (file_->size() >= worth_a_thread) hash_.emplace(file_);
}

std::string SoundFile::sha256() {
    std::string sum;
    try {
        sum = hash_ ? hash_->sum() : sha256_of(*file_);
    } catch (const CannotRead& why) {
        refuse(why.what());
    }
    if (is_changed()) refuse_changed();
    return sum;
}

/// Of more than the header announces the sum tells nothing.
void SoundFile::add_to_sum(std::span<const double> samples, bool is_last) {
    if (!flac_sum_ || state_.bytes_beyond_header > 0) return;
    flac_sum_->add(samples);
    if (!is_last) return;
    const bool fits = flac_sum_->fits();
    flac_sum_.reset();
    if (!fits && state().bytes_beyond_header == 0)
        refuse("damaged: its samples are not those that its checksum is of");
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
