#include "demo/waveform.hpp"

#include <array>
#include <cmath>

#include <fmt/format.h>

// What it names in its place loads a provider.
#ifndef OPENSSL_SUPPRESS_DEPRECATED
#define OPENSSL_SUPPRESS_DEPRECATED
#endif
#include <openssl/md5.h>

namespace earbudget::demo {

namespace {

constexpr int slices = 32;
constexpr int echoes = 60;
constexpr double Hz_per_T = 42.576e6;

// Durations of blocks in the raster of 10 µs; a slice takes 6200 of them.
constexpr int select_lasts = 276, prepare_lasts = 100, echo_lasts = 89, spoil_lasts = 300;
constexpr int slice_lasts = 6200;
constexpr int rest_lasts =
    slice_lasts - select_lasts - prepare_lasts - echoes * echo_lasts - spoil_lasts;

std::string head() {
    return fmt::format(
        R"(# Echo planar, 2 mm, of the invented Saltmarsh Imaging Unit: nobody's sequence.

[VERSION]
major 1
minor 4
revision 1

[DEFINITIONS]
AdcRasterTime 1e-07
BlockDurationRaster 1e-05
GradientRasterTime 1e-05
Name epi-2mm
RadiofrequencyRasterTime 1e-06
TotalDuration {:.6g}

)",
        (slices + 1) * slice_lasts * 1e-5);
}

/// Of one slice: selection, way to the first echo, echoes with a blip between each two, spoiler.
std::string blocks() {
    std::string text = "# id duration RF gx gy gz ADC extension\n[BLOCKS]\n";
    int id = 0;
    const auto add = [&](int lasts, const std::string& events) {
        text += fmt::format("{} {} {} 0\n", ++id, lasts, events);
    };
    for (int slice = 1; slice <= slices; ++slice) {
        add(select_lasts, fmt::format("{} 0 0 1 0", slice));
        add(prepare_lasts, "0 2 3 4 0");
        for (int echo = 0; echo < echoes; ++echo) {
            const char* const readout = echo % 2 == 0 ? "5" : "6";
            add(echo_lasts, fmt::format("0 {} {} 0 1", readout, echo + 1 < echoes ? "7" : "0"));
        }
        add(spoil_lasts, "0 0 0 8 0");
        add(rest_lasts, "0 0 0 0 0");
    }
    add(slice_lasts, "0 0 0 0 0");
    return text;
}

std::string pulses() {
    std::string text = "\n# id amplitude magnitude phase time delay frequency phase\n[RF]\n";
    for (int slice = 0; slice < slices; ++slice) {
        // Every second slice first, then those between.
        const int place = slice < slices / 2 ? 2 * slice : 2 * slice - slices + 1;
        text += fmt::format("{} 120 1 2 0 100 {} 0\n", slice + 1, 850 * place - 13'175);
    }
    return text;
}

std::string gradients() {
    struct Trapezoid {
        double mT_per_m;
        int rise, flat, fall, delay;  // µs
    };
    constexpr std::array<Trapezoid, 8> all = {{{10.0, 100, 2560, 100, 0},
                                               {-10.165, 150, 700, 150, 0},
                                               {-22.2, 150, 700, 150, 0},
                                               {-15.65, 150, 700, 150, 0},
                                               {24.0, 170, 550, 170, 0},
                                               {-24.0, 170, 550, 170, 0},
                                               {8.0, 80, 0, 80, 730},
                                               {20.0, 200, 2600, 200, 0}}};
    std::string text = "\n# id amplitude rise flat fall delay\n[TRAP]\n";
    int id = 0;
    for (const Trapezoid& one : all) {
        text += fmt::format("{} {:.6g} {} {} {} {}\n", ++id, one.mT_per_m * 1e-3 * Hz_per_T,
                            one.rise, one.flat, one.fall, one.delay);
    }
    return text;
}

std::string signature_of(const std::string& text) {
    std::array<unsigned char, MD5_DIGEST_LENGTH> sum{};
    // Cannot fail: it reads bytes that are there and writes as many as there is room for.
    MD5(reinterpret_cast<const unsigned char*>(text.data()), text.size(), sum.data());
    std::string hash;
    for (const unsigned char byte : sum)
        hash += fmt::format("{:02x}", byte);
    return fmt::format("\n[SIGNATURE]\nType md5\nHash {}\n", hash);
}

}  // namespace

std::string epi_waveform() {
    const std::string text = head() + blocks() + pulses() + gradients() +
                             "\n[ADC]\n1 110 5000 170 0 0\n"
                             "\n[SHAPES]\n\nshape_id 1\nnum_samples 2560\n1\n0\n0\n2557\n"
                             "\nshape_id 2\nnum_samples 2560\n0\n0\n2558\n";
    return text + signature_of(text);
}

}  // namespace earbudget::demo
