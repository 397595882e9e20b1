#include "earbudget/measurement/meters/channel_analyser.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "earbudget/measurement/meters/weighting_filter.hpp"
#include "earbudget/measurement/spectrum/spectrum_meter.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

namespace {

// With what the filters keep of it, half of the nearest cache.
constexpr std::size_t chunk_length = 2048;

std::optional<LevelFS> peak_level(const PeakMeter& meter, double mean) {
    const double peak = std::max(meter.highest() - mean, mean - meter.lowest());
    return level_of_mean_square(peak * peak);
}

/// Samples of a second, filled up so that a chunk begins after it.
std::size_t whole_chunks(Frequency sample_rate) {
    const auto second = static_cast<std::size_t>(std::ceil(sample_rate.Hz()));
    return (second + chunk_length - 1) / chunk_length * chunk_length;
}

}  // namespace

ChannelAnalyser::ChannelAnalyser(Frequency sample_rate, std::optional<Quantization> quantization,
                                 bool apart)
    : sample_rate_(sample_rate),
      quantization_(quantization),
      start_length_(whole_chunks(sample_rate)),
      clipping_(quantization),
      dropouts_(sample_rate, quantization),
      spectrum_(sample_rate, apart),
      c_filter_(WeightingFilter::c_weighting(sample_rate)),
      a_filter_(WeightingFilter::a_weighting_after_c(sample_rate)),
      a_(sample_rate) {
    start_.reserve(start_length_);
    raw_.reserve(chunk_length);
}

void ChannelAnalyser::add(std::span<const double> block) {
    count_ += block.size();
    if (!begun_) {
        const auto kept_back = block.first(std::min(block.size(), start_length_ - start_.size()));
        start_.insert(start_.end(), kept_back.begin(), kept_back.end());
        block = block.subspan(kept_back.size());
        if (start_.size() == start_length_) begin();
    }
    if (begun_) append(block);
}

void ChannelAnalyser::begin() {
    begun_ = true;
    if (start_.empty()) return;
    offset_ =
        std::accumulate(start_.begin(), start_.end(), 0.0) / static_cast<double>(start_.size());
    std::vector<float> without_offset(start_.size());
    vector::kernels().narrow(start_.data(), offset_, without_offset.data(), start_.size());
    std::vector<float> past = filter_preroll(without_offset, sample_rate_);
    c_filter_.process(past);
    a_filter_.process(past);
    append(start_);
    // Not = {}, which keeps its memory.
    std::vector<double>().swap(start_);
}

void ChannelAnalyser::append(std::span<const double> block) {
    while (!block.empty()) {
        if (raw_.empty() && block.size() >= chunk_length) {
            measure(block.first(chunk_length));
            block = block.subspan(chunk_length);
            continue;
        }
        const auto part = block.first(std::min(block.size(), chunk_length - raw_.size()));
        raw_.insert(raw_.end(), part.begin(), part.end());
        block = block.subspan(part.size());
        if (raw_.size() < chunk_length) continue;
        measure(raw_);
        raw_.clear();
    }
}

void ChannelAnalyser::measure(std::span<const double> raw) {
    chunk_.resize(raw.size());
    vector::kernels().narrow(raw.data(), 0.0, chunk_.data(), raw.size());
    clipping_.add(chunk_);
    dropouts_.add(chunk_);
    vector::kernels().narrow(raw.data(), offset_, chunk_.data(), raw.size());
    z_.add(chunk_);
    z_peak_.add(chunk_);
    spectrum_.add(chunk_);
    c_filter_.process(chunk_);
    c_.add(chunk_);
    c_peak_.add(chunk_);
    if (!chunk_.empty()) peaks_.push_back(c_peak_.highest_of_last_block());
    a_filter_.process(chunk_);
    a_.add(chunk_);
}

ChannelReading ChannelAnalyser::finish() {
    if (!begun_) begin();
    measure(raw_);
    const PowerSpectrum spectrum = spectrum_.finish();
    const double a_mean_square = a_.mean_square();
    TimeWeightedLevels time = a_.finish();
    const auto steadiness = steadiness_of(time.history);
    return {
        .sample_rate = sample_rate_,
        .duration = Seconds(static_cast<double>(count_) / sample_rate_.Hz()),
        .quantization = quantization_,
        .A = level_of_mean_square(a_mean_square),
        .C = level_of_mean_square(c_.mean_square()),
        .Z = level_of_mean_square(z_.mean_square_without_mean()),
        .C_peak = peak_level(c_peak_, 0.0),
        .Z_peak = peak_level(z_peak_, z_.mean()),
        .octave = octave_levels(spectrum, sample_rate_),
        .octave_A = octave_levels(spectrum, sample_rate_, a_weighting),
        .third_octave = third_octave_levels(spectrum, sample_rate_),
        .above_nyquist = bands_above_nyquist(sample_rate_),
        .tones = find_tones(spectrum),
        .time = std::move(time),
        .steadiness = steadiness,
        .start = Seconds(0.0),
        .rare_peaks =
            find_rare_peaks(peaks_, Seconds(static_cast<double>(chunk_length) / sample_rate_.Hz())),
        .offset = offset_ + z_.mean(),
        .clipping = clipping_.clipping(),
        .dropouts = dropouts_.dropouts(),
    };
}

}  // namespace earbudget
