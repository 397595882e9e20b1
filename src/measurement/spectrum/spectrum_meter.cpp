#include "earbudget/measurement/spectrum/spectrum_meter.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstddef>

#include "computing/assistant.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "earbudget/measurement/meters/weighting_filter.hpp"
#include "earbudget/measurement/spectrum/power_transform.hpp"
#include "measurement/spectrum/transform_tables.hpp"

namespace earbudget {

namespace {

constexpr Frequency widest_bin{1.5};

// Continuing anything less regular than tones would put one moment's sound in place of another's.
constexpr double faithful = 0.01;

double square(float x) { return static_cast<double>(x) * static_cast<double>(x); }

}  // namespace

struct SpectrumMeter::Apart {
    explicit Apart(PowerTransform& transform)
        : assistant([this, &transform] { transform.add_all(samples); }) {
        samples.reserve(transform.span_of_all());
    }

    std::vector<float> samples = {};
    Assistant assistant;
};

SpectrumMeter::SpectrumMeter(Frequency sample_rate, bool apart)
    : sample_rate_(sample_rate), is_apart_(apart) {
    transform_ = std::make_unique<PowerTransform>(power_complementary_window(
        std::bit_ceil(static_cast<std::size_t>(std::ceil(sample_rate / widest_bin)))));
    first_.reserve(transform_->length());
    recent_.reserve(transform_->span_of_all());
}

SpectrumMeter::SpectrumMeter(SpectrumMeter&&) noexcept = default;
SpectrumMeter& SpectrumMeter::operator=(SpectrumMeter&&) noexcept = default;
SpectrumMeter::~SpectrumMeter() = default;

void SpectrumMeter::add(std::span<const float> block) {
    total_ += block.size();
    const std::size_t length = transform_->length();
    const auto of_first = block.first(std::min(block.size(), length - first_.size()));
    first_.insert(first_.end(), of_first.begin(), of_first.end());
    const std::size_t all = transform_->span_of_all();
    while (!block.empty()) {
        const auto part = block.first(std::min(block.size(), all - recent_.size()));
        recent_.insert(recent_.end(), part.begin(), part.end());
        block = block.subspan(part.size());
        if (recent_.size() == all) take_recent();
    }
}

void SpectrumMeter::take_recent() {
    if (is_apart_ && !apart_) begin_apart();
    const auto hop = static_cast<std::ptrdiff_t>(transform_->hop());
    if (!apart_) {
        transform_->add_all(recent_);
        recent_.erase(recent_.begin(), recent_.end() - hop);
        return;
    }
    apart_->assistant.wait();
    std::swap(recent_, apart_->samples);
    recent_.assign(apart_->samples.end() - hop, apart_->samples.end());
    apart_->assistant.start();
}

void SpectrumMeter::begin_apart() {
    try {
        apart_ = std::make_unique<Apart>(*transform_);
    } catch (...) {
        // No thread, or no memory for one: as without.
        is_apart_ = false;
    }
}

void SpectrumMeter::take_overhang(const Overhang& overhang) {
    const std::size_t length = transform_->length();
    const auto window = transform_->window();
    const auto all_samples = std::span(overhang.samples);
    for (std::size_t start = 0; start + length <= all_samples.size(); start += transform_->hop()) {
        double inside = 0.0;
        double all = 0.0;
        for (std::size_t n = 0; n < length; ++n) {
            const double energy = square(window[n] * all_samples[start + n]);
            if (start + n >= overhang.begin && start + n < overhang.end) inside += energy;
            all += energy;
        }
        if (all > 0.0) transform_->add_one(all_samples.subspan(start, length), inside / all);
    }
}

/// What precedes part of the signal if it repeats itself, else zeros.
std::vector<float> SpectrumMeter::before(std::span<const float> part, std::size_t length) const {
    auto past = recurring_preroll(part, sample_rate_, length, faithful);
    return past ? *std::move(past) : std::vector<float>(length, 0.0);
}

/// The first part of the signal, and before it what the first window still covers.
SpectrumMeter::Overhang SpectrumMeter::with_past(std::span<const float> part) const {
    const std::size_t hop = transform_->hop();
    Overhang overhang{before(part, hop), hop, hop + part.size()};
    overhang.samples.insert(overhang.samples.end(), part.begin(), part.end());
    return overhang;
}

/// After the last part of the signal, what the last window that touches it still covers.
void SpectrumMeter::add_future(Overhang& overhang) const {
    const std::size_t hop = transform_->hop();
    const std::size_t last_start = (overhang.end - 1) / hop * hop;
    const std::size_t length = last_start + 2 * hop - overhang.samples.size();
    const std::vector<float> backwards(
        overhang.samples.rbegin(),
        overhang.samples.rend() - static_cast<std::ptrdiff_t>(overhang.begin));
    const auto future = before(backwards, length);
    overhang.samples.insert(overhang.samples.end(), future.rbegin(), future.rend());
}

/// The window that hangs over the start, where there is a whole one after it.
void SpectrumMeter::take_start() {
    Overhang overhang = with_past(first_);
    overhang.end = 2 * transform_->hop();
    overhang.samples.resize(overhang.end);
    take_overhang(overhang);
}

void SpectrumMeter::take_end() {
    const bool short_signal = total_ < transform_->length();
    Overhang overhang = short_signal ? with_past(recent_) : Overhang{recent_, 0, recent_.size()};
    add_future(overhang);
    take_overhang(overhang);
}

PowerSpectrum SpectrumMeter::finish() {
    if (apart_) apart_->assistant.wait();
    apart_.reset();
    const std::size_t length = transform_->length();
    PowerSpectrum result{sample_rate_ / static_cast<double>(length), {}};
    if (total_ > 0) {
        if (total_ >= length) take_start();
        take_end();
    }
    result.mean_square = transform_->finish();
    const double scale =
        total_ > 0 ? 1.0 / (static_cast<double>(length) * static_cast<double>(total_)) : 0.0;
    for (std::size_t k = 0; k < result.mean_square.size(); ++k) {
        const bool alone = k == 0 || k + 1 == result.mean_square.size();  // others stand for two
        result.mean_square[k] *= (alone ? 1.0 : 2.0) * scale;
    }
    return result;
}

double band_mean_square(const PowerSpectrum& spectrum, Frequency from, Frequency to,
                        Weighting weighting) {
    double sum = 0.0;
    const auto first =
        std::max(std::size_t{1}, static_cast<std::size_t>(from / spectrum.bin_width));
    const auto last = static_cast<std::size_t>(to / spectrum.bin_width + 1.0);
    for (std::size_t k = first; k < spectrum.mean_square.size() && k <= last; ++k) {
        const auto centre = static_cast<double>(k);
        const double low = std::max(centre - 0.5, from / spectrum.bin_width);
        const double high = std::min(centre + 0.5, to / spectrum.bin_width);
        if (high <= low) continue;
        const double gain = weighting ? energy_ratio(weighting(centre * spectrum.bin_width)) : 1.0;
        sum += (high - low) * gain * spectrum.mean_square[k];
    }
    return sum;
}

bool is_above_nyquist(Frequency upper_edge, Frequency sample_rate) {
    constexpr double grace = 1.02;
    return upper_edge > grace * sample_rate / 2.0;
}

OctaveMask bands_above_nyquist(Frequency sample_rate) {
    OctaveMask mask;
    for (const OctaveBand band : octave_bands) {
        if (is_above_nyquist(upper_edge(band), sample_rate)) mask.set(index_of(band));
    }
    return mask;
}

OctaveLevels<quantity::FullScale> octave_levels(const PowerSpectrum& spectrum,
                                                Frequency sample_rate, Weighting weighting) {
    const OctaveMask above = bands_above_nyquist(sample_rate);
    OctaveLevels<quantity::FullScale> levels;
    for (const OctaveBand band : octave_bands) {
        if (above.test(index_of(band))) continue;
        const auto level = level_of_mean_square(
            band_mean_square(spectrum, lower_edge(band), upper_edge(band), weighting));
        if (level) levels.set(band, *level);
    }
    return levels;
}

ThirdOctaveLevels<quantity::FullScale> third_octave_levels(const PowerSpectrum& spectrum,
                                                           Frequency sample_rate) {
    ThirdOctaveLevels<quantity::FullScale> levels;
    for (std::size_t n = 0; n < third_octave_count; ++n) {
        const Frequency upper = third_octave_upper_edge(n);
        if (is_above_nyquist(upper, sample_rate)) continue;
        levels[n] =
            level_of_mean_square(band_mean_square(spectrum, third_octave_lower_edge(n), upper));
    }
    return levels;
}

}  // namespace earbudget
