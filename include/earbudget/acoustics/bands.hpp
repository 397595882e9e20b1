#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"

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

/// Corner frequencies of the A and C weightings (IEC 61672-1, annex E; four decimals and more
/// follow from its equations and were recomputed).
struct WeightingPoles {
    static constexpr Frequency f1{20.598997};
    static constexpr Frequency f2{107.65265};
    static constexpr Frequency f3{737.86223};
    static constexpr Frequency f4{12194.217};
};

/// Design-goal A weighting at a frequency above zero, 0 dB at 1 kHz (IEC 61672-1, annex E).
[[nodiscard]] LevelDifference a_weighting(Frequency f);

/// Design-goal C weighting at a frequency above zero, 0 dB at 1 kHz (IEC 61672-1, annex E).
[[nodiscard]] LevelDifference c_weighting(Frequency f);

/// A weighting of an octave band, at its exact mid-band frequency, as tabled to one decimal in
/// IEC 61672-1, table 3 and used by ISO 4869-2 for its A_f.
[[nodiscard]] LevelDifference a_weighting(OctaveBand band);

/// C weighting of an octave band, as tabled to one decimal in IEC 61672-1, table 3.
[[nodiscard]] LevelDifference c_weighting(OctaveBand band);

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
