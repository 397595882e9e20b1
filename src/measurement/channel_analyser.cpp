#include "earbudget/measurement/channel_analyser.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "earbudget/acoustics/frequency_weighting.hpp"
#include "earbudget/measurement/full_scale.hpp"
#include "earbudget/measurement/likely_past.hpp"
#include "earbudget/measurement/octave_spectrum.hpp"
#include "measurement/add_as_float.hpp"

namespace earbudget {

namespace {

constexpr std::size_t chunk_length = 4096;

std::optional<LevelFS> peak_level(const PeakMeter& meter, double mean) {
    const double peak = std::max(meter.highest() - mean, mean - meter.lowest());
    return level_of_mean_square(peak * peak);
}

}  // namespace

ChannelAnalyser::ChannelAnalyser(Frequency sample_rate, std::optional<Quantization> quantization)
    : sample_rate_(sample_rate),
      quantization_(quantization),
      start_length_(static_cast<std::size_t>(std::max(1.0, std::round(sample_rate.Hz())))),
      clipping_(quantization),
      spectrum_(sample_rate),
      c_filter_(WeightingFilter::c_weighting(sample_rate)),
      a_filter_(WeightingFilter::a_weighting_after_c(sample_rate)) {
    start_.reserve(start_length_);
    chunk_.reserve(chunk_length);
}

void ChannelAnalyser::add(std::span<const double> block) {
    add_as_float(clipping_, block);
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
    std::vector<double> without_offset = start_;
    for (double& x : without_offset)
        x -= offset_;
    std::vector<double> past = likely_past(without_offset, sample_rate_);
    c_filter_.process(past);
    a_filter_.process(past);
    append(start_);
    start_ = {};
}

void ChannelAnalyser::append(std::span<const double> block) {
    while (!block.empty()) {
        const auto part = block.first(std::min(block.size(), chunk_length - chunk_.size()));
        for (const double x : part)
            chunk_.push_back(x - offset_);
        block = block.subspan(part.size());
        if (chunk_.size() == chunk_length) {
            measure(chunk_);
            chunk_.clear();
        }
    }
}

void ChannelAnalyser::measure(std::span<double> chunk) {
    z_.add(chunk);
    z_peak_.add(chunk);
    spectrum_.add(chunk);
    c_filter_.process(chunk);
    c_.add(chunk);
    c_peak_.add(chunk);
    a_filter_.process(chunk);
    a_.add(chunk);
}

ChannelReading ChannelAnalyser::finish() {
    if (!begun_) begin();
    measure(chunk_);
    chunk_.clear();
    const PowerSpectrum spectrum = spectrum_.finish();
    return {
        .sample_rate = sample_rate_,
        .duration = Seconds(static_cast<double>(count_) / sample_rate_.Hz()),
        .quantization = quantization_,
        .A = level_of_mean_square(a_.mean_square()),
        .C = level_of_mean_square(c_.mean_square()),
        .Z = level_of_mean_square(z_.mean_square_without_mean()),
        .C_peak = peak_level(c_peak_, 0.0),
        .Z_peak = peak_level(z_peak_, z_.mean()),
        .octave = octave_levels(spectrum, sample_rate_),
        .octave_A = octave_levels(spectrum, sample_rate_, a_weighting),
        .above_nyquist = bands_above_nyquist(sample_rate_),
        .clipping = clipping_.clipping(),
    };
}

std::vector<ChannelReading> read_channels(SampleSource& source) {
    const std::size_t channels = source.channels();
    std::vector<ChannelAnalyser> analysers;
    for (std::size_t c = 0; c < channels; ++c) {
        analysers.emplace_back(source.sample_rate(), source.quantization());
    }
    std::vector<double> interleaved(chunk_length * channels);
    std::vector<double> channel(chunk_length);
    while (const std::size_t frames = source.read(interleaved)) {
        for (std::size_t c = 0; c < channels; ++c) {
            for (std::size_t n = 0; n < frames; ++n)
                channel[n] = interleaved[n * channels + c];
            analysers[c].add(std::span(channel).first(frames));
        }
    }
    std::vector<ChannelReading> readings;
    readings.reserve(analysers.size());
    for (ChannelAnalyser& analyser : analysers)
        readings.push_back(analyser.finish());
    return readings;
}

}  // namespace earbudget
