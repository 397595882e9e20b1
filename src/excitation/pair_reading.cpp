#include "excitation/pair_reading.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

namespace earbudget {

PressureReader::PressureReader(const CalibrationPair& pair)
    : source_(pair.open_recording()), channel_(pair.channel), scale_(pair.Pa_per_unit) {}

std::size_t PressureReader::read(std::span<float> into) {
    const std::size_t channels = source_->channels();
    std::size_t done = 0;
    while (done < into.size()) {
        interleaved_.resize(std::min<std::size_t>(into.size() - done, 4096) * channels);
        const std::size_t got = source_->read(interleaved_);
        if (got == 0) break;
        for (std::size_t n = 0; n < got; ++n)
            into[done + n] = static_cast<float>(scale_ * interleaved_[n * channels + channel_]);
        done += got;
    }
    return done;
}

void PressureReader::skip(std::size_t samples) {
    std::vector<float> passed(4096);
    while (samples > 0) {
        const std::size_t got =
            read(std::span(passed).first(std::min<std::size_t>(samples, passed.size())));
        if (got == 0) return;
        samples -= got;
    }
}

std::size_t window_for(double rate) {
    constexpr double wanted = 1.0 / 3.0;
    const double exponent = std::round(std::log2(rate * wanted));
    return std::size_t{1} << static_cast<unsigned>(exponent);
}

namespace {

/// Drives and pressure side by side, moved on eight windows at a time.
class Rolling {
  public:
    Rolling(std::size_t span, std::size_t hop) : hop_(hop) {
        for (auto& signal : signals_)
            signal.assign(span, 0.0F);
    }

    /// Reads on; how many samples of the pressure there are from the first window on.
    std::size_t read(PressureReader& reader, DriveSampler& sampler) {
        const std::size_t begin = first_ ? 0 : hop_;
        std::array<std::span<float>, gradient_axes> fresh;
        for (std::size_t n = 0; n < signals_.size(); ++n) {
            auto& signal = signals_[n];
            if (!first_)
                std::copy(signal.end() - static_cast<std::ptrdiff_t>(hop_), signal.end(),
                          signal.begin());
            if (n < gradient_axes) fresh[n] = std::span(signal).subspan(begin);
        }
        first_ = false;
        sampler.read(fresh);
        auto& pressure = signals_.back();
        const std::size_t got = reader.read(std::span(pressure).subspan(begin));
        for (float& sample : std::span(pressure).subspan(begin, got))
            sample /= SegmentTransform::pressure_scale;
        std::fill(pressure.begin() + static_cast<std::ptrdiff_t>(begin + got), pressure.end(),
                  0.0F);
        return begin + got;
    }

    [[nodiscard]] SegmentSignals signals() const {
        return {null_if_silent(signals_[0]), null_if_silent(signals_[1]),
                null_if_silent(signals_[2]), null_if_silent(signals_[3])};
    }

  private:
    std::array<std::vector<float>, gradient_axes + 1> signals_;
    std::size_t hop_;
    bool first_ = true;
};

}  // namespace

double for_each_window(const CalibrationPair& pair, const TimeMap& map, SegmentTransform& transform,
                       const OnWindows& on_windows) {
    const auto waveform = pair.open_waveform();
    PressureReader reader(pair);
    const auto length = static_cast<double>(transform.length());
    // The first window holds the waveform's beginning in its second half, where the recording does.
    const double begin = std::max(0.0, std::floor(map.start - length / 2.0));
    reader.skip(static_cast<std::size_t>(begin));
    const double step = 1.0 / (reader.rate() * map.clock);
    DriveSampler sampler(*waveform, Seconds((begin - map.start) * step), Seconds(step));
    Rolling rolling(transform.span(), transform.hop());
    const auto most = static_cast<std::size_t>(longest_part * reader.rate()) / transform.hop();
    std::size_t first = 0;
    for (; first < most && !sampler.has_ended(); first += segment_lanes) {
        const std::size_t there = rolling.read(reader, sampler);
        const std::size_t count =
            there < transform.length()
                ? 0
                : std::min((there - transform.length()) / transform.hop() + 1, segment_lanes);
        if (count == 0) break;
        transform.transform(rolling.signals(), count);
        on_windows(transform, first, count);
        if (count < segment_lanes) {
            first += count;
            break;
        }
    }
    const double read = static_cast<double>(first + 1) * static_cast<double>(transform.hop());
    if (!sampler.has_ended()) return read;
    // The waveform may be shorter than the windows that it touches.
    const double end = map.start + sampler.end().count() * reader.rate() * map.clock;
    return std::clamp(end - std::max(begin, map.start), 0.0, read);
}

}  // namespace earbudget
