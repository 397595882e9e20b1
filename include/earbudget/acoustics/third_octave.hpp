#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>

#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/acoustics/level.hpp"

namespace earbudget {

/// One-third-octave bands from 20 Hz to 20 kHz, by position (IEC 61260-1, base ten).
inline constexpr std::size_t third_octave_count = 31;

/// Nominal mid-band frequencies, Hz, as they are written: the names of the bands
/// (IEC 61260-1, table E.1; memory).
inline constexpr std::array<std::string_view, third_octave_count> third_octave_names = {
    "20",   "25",   "31.5", "40",   "50",   "63",    "80",    "100",   "125",  "160",  "200",
    "250",  "315",  "400",  "500",  "630",  "800",   "1000",  "1250",  "1600", "2000", "2500",
    "3150", "4000", "5000", "6300", "8000", "10000", "12500", "16000", "20000"};

/// Exact mid-band frequency 1000 Hz · G^(n/3), G = 10^(3/10) (IEC 61260-1, 5.2 to 5.4), of the band
/// at `position`.
[[nodiscard]] Frequency third_octave_mid_band(std::size_t position);

/// Band edges, mid-band frequency · G^(±1/6) (IEC 61260-1, 5.5).
[[nodiscard]] Frequency third_octave_lower_edge(std::size_t position);
[[nodiscard]] Frequency third_octave_upper_edge(std::size_t position);

/// One level a band; a band may be missing.
template <class Quantity>
using ThirdOctaveLevels = std::array<std::optional<Level<Quantity>>, third_octave_count>;

}  // namespace earbudget
