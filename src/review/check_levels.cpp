#include <string>
#include <vector>

#include <fmt/format.h>

#include "earbudget/acoustics/decimal_text.hpp"
#include "review/card_checks.hpp"

namespace earbudget {

namespace {

// LC − LA for which H, M and L are defined: the regression lines of ISO 4869-2 are read at −2, +2
// and +10 dB (derived).
constexpr LevelDifference lowest_C_minus_A{-2.0};
constexpr LevelDifference highest_C_minus_A{10.0};

// Of a sine, the least that any sound without clipping comes near: 20 lg √2, 3.01 dB.
constexpr LevelDifference crest_of_sine{3.0};
// Above this a single event, a knock perhaps, made the peak (ours).
constexpr LevelDifference highest_crest{30.0};

std::string names_of(OctaveMask bands) {
    std::string names;
    for (const OctaveBand band : octave_bands) {
        if (bands.test(index_of(band)))
            names += fmt::format("{}{}", names.empty() ? "" : ", ", name_of(band));
    }
    return names;
}

ReviewCheck check_bands(const SoundLevels& levels) {
    const OctaveMask bands = levels.a_weighted_octaves().bands();
    if (bands.none()) {
        return {CheckCode::OctaveBands, CheckState::Missing,
                "no octave-band levels: the octave-band method of ISO 4869-2:2018 cannot be used",
                "state the octave bands from 63 Hz to 8 kHz"};
    }
    OctaveMask wanted = bands_from_125_Hz();
    wanted.set(index_of(OctaveBand::Hz63));
    const OctaveMask absent = wanted & ~bands;
    if (levels.borrowed) {
        return {CheckCode::OctaveBands, CheckState::Doubtful,
                fmt::format("not measured: those of \"{}\" stand for them (spectrum_like)",
                            levels.borrowed->card),
                "measure the octave bands from 63 Hz to 8 kHz"};
    }
    if (absent.none()) return {CheckCode::OctaveBands, CheckState::Ok, "63 Hz to 8 kHz stated", ""};
    return {CheckCode::OctaveBands, CheckState::Doubtful,
            fmt::format("not stated: {} Hz", names_of(absent)),
            "state every octave band from 63 Hz to 8 kHz"};
}

ReviewCheck check_LCeq(const SoundLevels& levels) {
    const auto LC = levels.c_weighted_level();
    if (!LC) {
        return {CheckCode::LCeq, CheckState::Missing,
                "no LCeq and no octave bands to sum: method slc80 cannot be used, hml and snr only "
                "as checks from LA alone",
                "state LCeq"};
    }
    return {CheckCode::LCeq, CheckState::Ok,
            fmt::format("{:.1f} dB(C){}", LC->dB(),
                        levels.LCeq ? "" : ", summed from the octave bands"),
            ""};
}

void check_C_minus_A(const SoundLevels& levels, std::vector<ReviewCheck>& checks) {
    const auto LC = levels.c_weighted_level();
    if (!LC) return;
    const LevelDifference difference = c_minus_a(*LC, levels.LAeq);
    const bool usual = difference >= lowest_C_minus_A && difference <= highest_C_minus_A;
    checks.push_back({CheckCode::LCminusLA, usual ? CheckState::Ok : CheckState::Doubtful,
                      fmt::format("LC − LA {} dB{}", decimal_text(difference.dB(), 1),
                                  usual ? "" : ", outside the −2 to 10 dB that H, M and L are for"),
                      usual ? "" : "look at both levels, and use the octave-band method"});
}

template <class L>
ReviewCheck check_peak(CheckCode code, const std::optional<L>& peak, const char* to_do) {
    if (!peak) {
        return {code, CheckState::Missing,
                fmt::format("no {}: {}", name_of(code),
                            code == CheckCode::LCpeak
                                ? "limits on the C-weighted peak cannot be judged"
                                : "limits on the unweighted peak are judged by LCpeak, which may "
                                  "be up to 3 dB lower"),
                to_do};
    }
    return {code, CheckState::Ok, fmt::format("{:.1f} dB", peak->dB()), ""};
}

/// The peak above the average of the same weighting; none where one is not known.
std::optional<LevelDifference> crest_of(const SoundLevels& levels) {
    const auto LC = levels.c_weighted_level();
    if (levels.LCpeak && LC) return LevelDifference(levels.LCpeak->dB() - LC->dB());
    const auto LZ = levels.octave.sum();
    if (levels.LZpeak && LZ) return LevelDifference(levels.LZpeak->dB() - LZ->dB());
    return std::nullopt;
}

void check_crest(const SoundLevels& levels, std::vector<ReviewCheck>& checks) {
    const auto crest = crest_of(levels);
    if (!crest) return;
    const std::string text = fmt::format("the peak is {:.1f} dB above the average", crest->dB());
    if (*crest < crest_of_sine) {
        checks.push_back({CheckCode::PeakAboveAverage, CheckState::Doubtful,
                          text + ", less than a sine's 3 dB: perhaps the highest time-weighted "
                                 "level stands in the place of the peak",
                          "see how the peak was found; a maximum of LAF or LAS is no peak"});
    } else if (*crest > highest_crest) {
        checks.push_back({CheckCode::PeakAboveAverage, CheckState::Doubtful,
                          text + ": perhaps a knock on the microphone made it",
                          "listen to the recording at its peak"});
    } else {
        checks.push_back({CheckCode::PeakAboveAverage, CheckState::Ok, text, ""});
    }
}

ReviewCheck check_range(const SoundLevels& levels) {
    const bool inside = levels.LAeq >= lowest_published && levels.LAeq <= highest_published;
    const std::string text = fmt::format("LAeq {:.1f} dB(A)", levels.LAeq.dB());
    const std::string range = fmt::format(
        "{:g} to {:g} dB(A) of published measurements in scanners (Price and others, 2001; J Magn "
        "Reson Imaging 2000, 12:157; abstracts seen)",
        lowest_published.dB(), highest_published.dB());
    if (inside) return {CheckCode::LevelRange, CheckState::Ok, text + ", within " + range, ""};
    return {CheckCode::LevelRange, CheckState::Doubtful, text + ", outside " + range,
            "look at calibration, gain and position: a decibel figure may belong to another scale"};
}

}  // namespace

void check_levels(const SoundLevels& levels, std::vector<ReviewCheck>& checks) {
    checks.push_back(check_range(levels));
    checks.push_back(check_bands(levels));
    checks.push_back(check_LCeq(levels));
    check_C_minus_A(levels, checks);
    checks.push_back(check_peak(CheckCode::LCpeak, levels.LCpeak, "state LCpeak of a whole run"));
    checks.push_back(check_peak(CheckCode::LZpeak, levels.LZpeak, "state LZpeak of a whole run"));
    check_crest(levels, checks);
}

}  // namespace earbudget
