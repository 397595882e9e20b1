#include "demo/response.hpp"

#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <string_view>
#include <vector>

#include <fmt/format.h>

namespace earbudget::demo {

namespace {

constexpr double bin_Hz = 10.0;
constexpr int first_bin = 5;
constexpr int last_bin = 500;

/// A damped oscillator that the gradient drives: A · i·r / (1 − r² + 2i·ζ·r), r = f / f0.
struct Resonance {
    double f0_Hz, damping, Pa_per_T_per_m;
};

struct Axis {
    std::string_view name;
    double late_ms;
    std::array<Resonance, 3> resonances;
};

// Invented.
constexpr std::array<Axis, 3> axes = {
    {{"x", 2.4, {{{590, 0.06, 77}, {1120, 0.05, 90}, {1740, 0.05, 205}}}},
     {"y", 2.7, {{{630, 0.06, 60}, {1060, 0.05, 80}, {1900, 0.05, 130}}}},
     {"z", 1.9, {{{480, 0.07, 90}, {1350, 0.05, 60}, {2300, 0.05, 90}}}}}};

std::complex<double> response_of(const Axis& axis, double f) {
    std::complex<double> sum;
    for (const Resonance& each : axis.resonances) {
        const double r = f / each.f0_Hz;
        sum += each.Pa_per_T_per_m * std::complex(0.0, r) /
               std::complex(1.0 - r * r, 2.0 * each.damping * r);
    }
    return sum * std::polar(1.0, -2.0 * std::numbers::pi * f * axis.late_ms * 1e-3);
}

/// What recordings in a quiet room leave of it.
double coherence_at(double f) { return 0.998 - 0.06 * (f / 5000.0) * (f / 5000.0); }

template <class Value>
std::string array(std::string_view key, std::string_view format, const Value& value) {
    std::string text = fmt::format("{} = [", key);
    for (int bin = first_bin; bin <= last_bin; ++bin) {
        text += (bin - first_bin) % 10 == 0 ? "\n  " : " ";
        text += fmt::format(fmt::runtime(format), value(bin * bin_Hz)) + ",";
    }
    return text + "\n]\n";
}

std::string text_of(const Axis& axis) {
    constexpr double degrees = 180.0 / std::numbers::pi;
    return fmt::format("\n[axis.{}]\ntime_base = 0\n", axis.name) +
           array("frequency_Hz", "{:.0f}", [](double f) { return f; }) +
           array("magnitude_Pa_per_T_per_m", "{:.1f}",
                 [&](double f) { return std::abs(response_of(axis, f)); }) +
           array("phase_deg", "{:.1f}",
                 [&](double f) { return std::arg(response_of(axis, f)) * degrees; }) +
           array("coherence", "{:.3f}", coherence_at);
}

}  // namespace

std::string scanner_response() {
    std::string text = R"toml(kind = "response"
format = 1
title = "Saltmarsh Imaging Unit, the response of its scanner"
scanner = "invented scanner, 3 T"
coil = "head coil"
bin_width_Hz = 10.0

[uncertainty]
LAeq = 5.0

[origin]
how = "made up for this demo: no recording stands behind it"
who = "Saltmarsh Imaging Unit (invented)"
when = "2026-11-02"
where = "ear position of a head phantom in the bore"
subject = "phantom"
)toml";
    for (const Axis& axis : axes)
        text += text_of(axis);
    return text;
}

}  // namespace earbudget::demo
