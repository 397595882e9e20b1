#include "earbudget/measurement/weighting_filter.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>
#include <stdexcept>

#include "earbudget/acoustics/frequency_weighting.hpp"
#include "measurement/minimum_phase.hpp"

namespace earbudget {

namespace {

constexpr std::size_t design_points = 4096;  // from 0 to half the sampling rate
constexpr double matched_up_to = 0.46;       // of the sampling rate
constexpr std::size_t c_taps = 24;
constexpr std::size_t a_taps = 12;

void require_supported(Frequency sample_rate) {
    if (!(sample_rate >= lowest_sample_rate && sample_rate <= highest_sample_rate)) {
        throw std::invalid_argument("sampling rate outside 8 to 192 kHz");
    }
}

double matched_pole(Frequency corner, Frequency sample_rate) {
    return std::exp(-2.0 * std::numbers::pi * (corner / sample_rate));
}

Biquad::Coefficients high_pass(double pole_1, double pole_2) {
    return {1.0, -2.0, 1.0, -(pole_1 + pole_2), pole_1 * pole_2};
}

Biquad::Coefficients low_pass(double pole) { return {1.0, 0.0, 0.0, -2.0 * pole, pole * pole}; }

double log_magnitude(const Biquad::Coefficients& c, double cycles_per_sample) {
    const auto z = std::polar(1.0, -2.0 * std::numbers::pi * cycles_per_sample);
    return std::log(std::abs((c.b0 + z * (c.b1 + z * c.b2)) / (1.0 + z * (c.a1 + z * c.a2))));
}

double nepers(LevelDifference gain) { return gain.dB() * std::numbers::ln10 / 20.0; }

/// What the sections leave to be corrected, as a natural logarithm.
///
/// Up to `matched_up_to` it is design curve over response. From there it levels out with
/// continuous slope and curvature, since a kink at half the sampling rate would make the
/// correction long.
template <class Gain>
std::vector<double> missing_gain(const std::vector<Biquad::Coefficients>& sections, Gain design) {
    const auto missing = [&](double cycles_per_sample) {
        double result = nepers(design(cycles_per_sample));
        for (const auto& section : sections)
            result -= log_magnitude(section, cycles_per_sample);
        return result;
    };
    constexpr double edge = matched_up_to;
    constexpr double step = 1e-4;
    const double at_edge = missing(edge);
    const double slope = (missing(edge + step) - missing(edge - step)) / (2.0 * step);
    const double curvature =
        (missing(edge + step) - 2.0 * at_edge + missing(edge - step)) / (step * step);
    constexpr double width = 0.5 - edge;

    std::vector<double> result(design_points + 1);
    for (std::size_t k = 0; k <= design_points; ++k) {
        const double x = 0.5 * static_cast<double>(k) / static_cast<double>(design_points);
        if (x <= edge) {
            // The ratio tends to a constant towards 0, where both its parts vanish.
            result[k] = missing(std::max(x, 0.5 / static_cast<double>(design_points)));
        } else {
            const double u = (x - edge) / width;
            const double bend = width * curvature;
            result[k] = at_edge + width * u * (slope + u * (bend / 2.0 - u * (slope + bend) / 3.0));
        }
    }
    return result;
}

std::vector<Biquad> biquads(const std::vector<Biquad::Coefficients>& sections) {
    return {sections.begin(), sections.end()};
}

}  // namespace

WeightingFilter WeightingFilter::c_weighting(Frequency sample_rate) {
    require_supported(sample_rate);
    const double p1 = matched_pole(WeightingPoles::f1, sample_rate);
    const double p4 = matched_pole(WeightingPoles::f4, sample_rate);
    const std::vector<Biquad::Coefficients> sections = {high_pass(p1, p1), low_pass(p4)};
    const auto design = [&](double x) { return earbudget::c_weighting(x * sample_rate); };
    const auto missing = missing_gain(sections, design);
    return {biquads(sections), FirFilter(minimum_phase_response(missing, c_taps))};
}

WeightingFilter WeightingFilter::a_weighting_after_c(Frequency sample_rate) {
    require_supported(sample_rate);
    const double p2 = matched_pole(WeightingPoles::f2, sample_rate);
    const double p3 = matched_pole(WeightingPoles::f3, sample_rate);
    const std::vector<Biquad::Coefficients> sections = {high_pass(p2, p3)};
    const auto design = [&](double x) {
        return a_weighting(x * sample_rate) - earbudget::c_weighting(x * sample_rate);
    };
    const auto missing = missing_gain(sections, design);
    return {biquads(sections), FirFilter(minimum_phase_response(missing, a_taps))};
}

void WeightingFilter::process(std::span<double> block) {
    for (Biquad& section : sections_)
        section.process(block);
    correction_.process(block);
}

}  // namespace earbudget
