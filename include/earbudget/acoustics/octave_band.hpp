#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>

#include "earbudget/acoustics/frequency.hpp"

namespace earbudget {

/// The ten octave bands from 31.5 Hz to 16 kHz, by position (IEC 61260-1, base ten).
enum class OctaveBand : std::size_t {
    Hz31_5,
    Hz63,
    Hz125,
    Hz250,
    Hz500,
    Hz1000,
    Hz2000,
    Hz4000,
    Hz8000,
    Hz16000
};

inline constexpr std::size_t octave_band_count = 10;

inline constexpr std::array<OctaveBand, octave_band_count> octave_bands = {
    OctaveBand::Hz31_5, OctaveBand::Hz63,   OctaveBand::Hz125,  OctaveBand::Hz250,
    OctaveBand::Hz500,  OctaveBand::Hz1000, OctaveBand::Hz2000, OctaveBand::Hz4000,
    OctaveBand::Hz8000, OctaveBand::Hz16000};

[[nodiscard]] constexpr std::size_t index_of(OctaveBand band) {
    return static_cast<std::size_t>(band);
}

/// Nominal mid-band frequency, the name of the band (IEC 61260-1, table E.1).
[[nodiscard]] Frequency nominal_frequency(OctaveBand band);

/// The nominal frequencies as they are written in files and reports.
inline constexpr std::array<std::string_view, octave_band_count> octave_band_names = {
    "31.5", "63", "125", "250", "500", "1000", "2000", "4000", "8000", "16000"};

/// The nominal frequency of a band as it is written.
[[nodiscard]] std::string_view name_of(OctaveBand band);

/// The band whose nominal mid-band frequency is `f` exactly; none for any other frequency.
[[nodiscard]] std::optional<OctaveBand> octave_band_named(Frequency f);

/// Exact mid-band frequency 1000 Hz · G^n, G = 10^(3/10) (IEC 61260-1, 5.2 to 5.4).
[[nodiscard]] Frequency mid_band_frequency(OctaveBand band);

/// Lower band edge, mid-band frequency · G^(−1/2) (IEC 61260-1, 5.5).
[[nodiscard]] Frequency lower_edge(OctaveBand band);

/// Upper band edge, mid-band frequency · G^(+1/2) (IEC 61260-1, 5.5).
[[nodiscard]] Frequency upper_edge(OctaveBand band);

}  // namespace earbudget
