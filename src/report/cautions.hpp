#pragma once

#include <array>
#include <string_view>

namespace earbudget::report {

/// What must be read with every decision about someone's hearing.
inline constexpr std::array<std::string_view, 4> cautions = {
    "These results support and do not replace a competent person's measurement and judgement.",
    "Local law, the facility's rules and licensed or certified practice come first.",
    "Ear protection works only as fitted: check both ears before the first run.",
    "Anyone with pain, ringing or dulled hearing stops at once and is referred."};

/// What must be read with levels of a recording, beside what must be read with every decision.
inline constexpr std::string_view measure_caution =
    "Levels are as good as microphone, calibration and position: state them.";

inline constexpr std::array<std::string_view, 5> measure_cautions = {
    measure_caution, cautions[0], cautions[1], cautions[2], cautions[3]};

/// What must be read with ratings computed from a catalogue.
inline constexpr std::array<std::string_view, 5> ratings_cautions = {
    "Labels of H, M, L and SNR are made from each subject's data, these from mean and standard "
    "deviation (ISO 4869-2:2018, 84 %): 1 dB apart counts as agreement.",
    "Computed ratings are those of ISO 4869-2:2018, which all predictions use. Those by the "
    "edition of 1994, with 63 Hz, are shown for labels of that time: its SNR is up to 0.5 dB "
    "higher, its L up to 0.7 dB different.",
    "An NRR comes from a test of its own (40 CFR 211.206 and 211.207); computed from other data it "
    "can differ from the label without either being mistyped.",
    "Agreement does not show that the data are those of the protector at hand: compare the "
    "catalogue with the maker's sheet.",
    cautions.front()};

}  // namespace earbudget::report
