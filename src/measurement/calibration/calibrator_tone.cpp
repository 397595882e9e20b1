#include "earbudget/measurement/calibration/calibrator_tone.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <numeric>
#include <optional>
#include <span>
#include <string>

#include "earbudget/measurement/meters/sample_source.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

namespace {

constexpr double frame_seconds = 0.2;
constexpr Frequency lowest_line{200.0};  // below a calibrator's 250 Hz, above hum's first harmonics
constexpr Frequency lowest_counted{10.0};
constexpr std::size_t half_width = 3;  // bins on either side that hold a Hann window's line
constexpr double hann_mean_square = 0.375;

std::size_t bin_of(Frequency f, Frequency bin_width) {
    return static_cast<std::size_t>(std::lround(f / bin_width));
}

double sum(std::span<const double> x) { return std::accumulate(x.begin(), x.end(), 0.0); }

/// Where between bins a line lies, from the two highest values of its Hann-windowed transform
/// (Rife and Vincent 1970, Bell System Technical Journal 49:197; memory).
double position_of_line(std::span<const double> power, std::size_t highest) {
    const double here = std::sqrt(power[highest]);
    const double left = std::sqrt(power[highest - 1]);
    const double right = std::sqrt(power[highest + 1]);
    if (!(here > 0.0)) return static_cast<double>(highest);
    const double ratio = std::max(left, right) / here;
    const double offset = (2.0 * ratio - 1.0) / (ratio + 1.0);
    return static_cast<double>(highest) + (right >= left ? offset : -offset);
}

}  // namespace

CalibratorFrames::CalibratorFrames(Frequency sample_rate, std::optional<Quantization> quantization)
    : sample_rate_(sample_rate),
      hop_(static_cast<std::size_t>(
          std::max(64.0, std::round(0.5 * frame_seconds * sample_rate.Hz())))),
      fft_(2 * hop_),
      windowed_(2 * hop_),
      clipping_(quantization) {}

void CalibratorFrames::add(std::span<const double> block) {
    while (!block.empty()) {
        const std::size_t room = hop_ - recent_.size() % hop_;
        const auto part = block.first(std::min(block.size(), room));
        narrowed_.resize(part.size());
        vector::kernels().narrow(part.data(), 0.0, narrowed_.data(), part.size());
        clipping_.add(narrowed_);
        recent_.insert(recent_.end(), part.begin(), part.end());
        block = block.subspan(part.size());
        if (recent_.size() % hop_ == 0) take_frame();
    }
}

void CalibratorFrames::take_frame() {
    // Flat tops below full scale are known of a whole recording only.
    const Clipping clipping = clipping_.clipping();
    const std::uint64_t stretches = clipping.below_full_scale ? 0 : clipping.stretches;
    if (recent_.size() == length()) {
        CalibratorFrame frame = analyse();
        frame.clipped = stretches > stretches_earlier_;
        frames_.push_back(frame);
        recent_.erase(recent_.begin(), recent_.begin() + static_cast<std::ptrdiff_t>(hop_));
    }
    stretches_earlier_ = stretches_before_;
    stretches_before_ = stretches;
}

CalibratorFrame CalibratorFrames::analyse() {
    const std::size_t length = recent_.size();
    const auto size = static_cast<double>(length);
    const double mean = sum(recent_) / size;
    for (std::size_t n = 0; n < length; ++n) {
        const double phase = 2.0 * std::numbers::pi * static_cast<double>(n) / size;
        windowed_[n] = static_cast<float>((recent_[n] - mean) * (0.5 - 0.5 * std::cos(phase)));
    }
    const auto spectrum = fft_(windowed_);
    std::vector<double> power(spectrum.size());
    for (std::size_t k = 0; k < power.size(); ++k) {
        const auto re = static_cast<double>(spectrum[k].real());
        const auto im = static_cast<double>(spectrum[k].imag());
        power[k] = 2.0 * (re * re + im * im) / (size * size * hann_mean_square);
    }

    const Frequency bin_width = sample_rate_ / size;
    const auto begin = power.begin() + static_cast<std::ptrdiff_t>(bin_of(lowest_line, bin_width));
    const auto end = power.end() - static_cast<std::ptrdiff_t>(half_width + 1);
    const auto highest = static_cast<std::size_t>(std::max_element(begin, end) - power.begin());
    const std::size_t half = highest / 2;
    const auto all = std::span<const double>(power);

    CalibratorFrame frame;
    frame.tone = sum(all.subspan(highest - half_width, 2 * half_width + 1));
    frame.other = std::max(0.0, sum(all.subspan(half)) - frame.tone);
    frame.total = sum(all.subspan(bin_of(lowest_counted, bin_width)));
    frame.frequency = (position_of_line(power, highest) * bin_width).Hz();
    return frame;
}

namespace {

using ToneLimits = CalibratorToneLimits;
using Frames = std::span<const CalibratorFrame>;

constexpr std::array<Frequency, 2> calibrator_frequencies = {Frequency(250.0), Frequency(1000.0)};

bool has_calibrator_frequency(const CalibratorFrame& frame) {
    return std::ranges::any_of(calibrator_frequencies, [&](Frequency f) {
        return std::abs(frame.frequency / f.Hz() - 1.0) <= ToneLimits::frequency_deviation;
    });
}

bool is_pure(const CalibratorFrame& frame) {
    // Cutting off distorts: a clipped tone is to be refused for that, not for its distortion.
    return frame.clipped ||
           frame.other <= ToneLimits::distortion * ToneLimits::distortion * frame.tone;
}

bool is_tone(const CalibratorFrame& frame) {
    return frame.tone > 0.0 && has_calibrator_frequency(frame) && is_pure(frame) &&
           frame.tone >= 0.5 * frame.total;
}

LevelDifference spread_of(Frames frames) {
    const auto [low, high] = std::ranges::minmax_element(frames, {}, &CalibratorFrame::tone);
    return difference_of_energy_ratio(high->tone / low->tone);
}

/// The longest stretch of tone at one level and one frequency; empty without any tone.
Frames longest_steady_stretch(Frames frames) {
    Frames longest = frames.first(0);
    for (std::size_t begin = 0; begin < frames.size(); ++begin) {
        double low = frames[begin].tone;
        double high = low;
        std::size_t end = begin;
        for (; end < frames.size() && is_tone(frames[end]); ++end) {
            low = std::min(low, frames[end].tone);
            high = std::max(high, frames[end].tone);
            const double other_pitch = frames[end].frequency / frames[begin].frequency - 1.0;
            if (high > low * energy_ratio(ToneLimits::spread)) break;
            if (std::abs(other_pitch) > ToneLimits::frequency_deviation) break;
        }
        if (end - begin > longest.size()) longest = frames.subspan(begin, end - begin);
    }
    return longest;
}

Finding refused(const Message& why) {
    return {QualityCode::CalibrationNotATone, say<FindingPhrase::NoTone>(why)};
}

Message why_no_frame_is_a_tone(Frames frames) {
    const auto& loudest = *std::ranges::max_element(frames, {}, &CalibratorFrame::tone);
    if (!(loudest.tone > 0.0)) return say<FindingPhrase::ToneOfSilence>();
    if (!has_calibrator_frequency(loudest)) {
        return say<FindingPhrase::ToneOfOtherFrequency>(loudest.frequency,
                                                        100.0 * ToneLimits::frequency_deviation);
    }
    if (!is_pure(loudest)) {
        return say<FindingPhrase::ToneDistorted>(100.0 * std::sqrt(loudest.other / loudest.tone),
                                                 100.0 * ToneLimits::distortion);
    }
    return say<FindingPhrase::ToneBelowNoise>();
}

std::optional<Finding> objection(Frames frames, Frames steady, Seconds duration) {
    if (frames.empty()) return refused(say<FindingPhrase::ToneRecordedTooShort>());
    if (steady.empty()) return refused(why_no_frame_is_a_tone(frames));
    if (std::ranges::any_of(steady, &CalibratorFrame::clipped))
        return Finding{QualityCode::Clipped, say<FindingPhrase::ToneCutOff>()};
    if (duration < ToneLimits::shortest) {
        return refused(say<FindingPhrase::ToneTooShort>(ToneLimits::spread, duration.count(),
                                                        ToneLimits::shortest.count()));
    }
    // Levels that wander further than the limit have a steady stretch somewhere by chance.
    const auto tones = static_cast<std::size_t>(std::ranges::count_if(frames, is_tone));
    if (2 * steady.size() < tones)
        return refused(say<FindingPhrase::ToneWanders>(ToneLimits::spread));
    return std::nullopt;
}

Seconds length_of(Frames frames, const CalibratorFrames& recording, Frequency sample_rate) {
    if (frames.empty()) return Seconds(0.0);
    const std::size_t samples = (frames.size() - 1) * recording.hop() + recording.length();
    return Seconds(static_cast<double>(samples) / sample_rate.Hz());
}

double mean_tone(Frames frames) {
    double sum = 0.0;
    for (const CalibratorFrame& frame : frames)
        sum += frame.tone;
    return sum / static_cast<double>(frames.size());
}

/// How far another steady tone of the recording lies from the one used, where one does.
std::optional<LevelDifference> second_level(Frames frames, Frames steady,
                                            const CalibratorFrames& recording,
                                            Frequency sample_rate) {
    const auto begin = static_cast<std::size_t>(steady.data() - frames.data());
    for (const Frames rest : {frames.first(begin), frames.subspan(begin + steady.size())}) {
        const Frames other = longest_steady_stretch(rest);
        if (length_of(other, recording, sample_rate) < ToneLimits::shortest) continue;
        const auto apart = difference_of_energy_ratio(mean_tone(other) / mean_tone(steady));
        if (std::abs(apart.dB()) > ToneLimits::second_level.dB()) return apart;
    }
    return std::nullopt;
}

CalibratorToneResult tone_in(const CalibratorFrames& recording, Frequency sample_rate) {
    const Frames frames = recording.frames();
    const Frames steady = longest_steady_stretch(frames);
    const Seconds duration = length_of(steady, recording, sample_rate);
    if (auto finding = objection(frames, steady, duration)) return *std::move(finding);
    if (const auto apart = second_level(frames, steady, recording, sample_rate)) {
        return refused(say<FindingPhrase::SecondTone>(std::abs(apart->dB()), apart->dB() > 0.0));
    }

    double frequency = 0.0;
    for (const CalibratorFrame& frame : steady) {
        frequency += frame.frequency / static_cast<double>(steady.size());
    }
    const auto level = level_of_mean_square(mean_tone(steady));
    if (!level) return refused(say<FindingPhrase::ToneOfSilence>());
    return CalibratorTone{*level, Frequency(frequency), duration, spread_of(steady)};
}

}  // namespace

std::vector<CalibratorToneResult> find_calibrator_tones(SampleSource& source) {
    constexpr std::size_t block_frames = 4096;
    const std::size_t channels = source.channels();
    std::vector<CalibratorFrames> recordings;
    for (std::size_t c = 0; c < channels; ++c) {
        recordings.emplace_back(source.sample_rate(), source.quantization());
    }
    std::vector<double> interleaved(block_frames * channels);
    std::vector<double> channel(block_frames);
    const double wanted = ToneLimits::searched.count() * source.sample_rate().Hz();
    for (double read = 0.0; read < wanted;) {
        const std::size_t frames = source.read(interleaved);
        if (frames == 0) break;
        read += static_cast<double>(frames);
        for (std::size_t c = 0; c < channels; ++c) {
            for (std::size_t n = 0; n < frames; ++n)
                channel[n] = interleaved[n * channels + c];
            recordings[c].add(std::span(channel).first(frames));
        }
    }
    std::vector<CalibratorToneResult> results;
    results.reserve(recordings.size());
    for (const auto& recording : recordings) {
        results.push_back(tone_in(recording, source.sample_rate()));
    }
    return results;
}

}  // namespace earbudget
