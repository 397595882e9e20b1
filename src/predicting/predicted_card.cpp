#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/study/sequence.hpp"
#include "predicting/prediction.hpp"

namespace earbudget::predicting {

namespace {

/// As cards state levels: to a thousandth of a decibel.
template <class L>
L as_stated(L level) {
    return L(std::round(level.dB() * 1000.0) / 1000.0);
}

/// What lies below the lowest level of a card is stated as that.
template <class Q>
OctaveLevels<Q> bands_as_stated(const OctaveLevels<Q>& bands) {
    OctaveLevels<Q> stated;
    for (const OctaveBand band : octave_bands) {
        if (const auto level = bands.at(band))
            stated.set(band, as_stated(Level<Q>(std::max(level->dB(), lowest_level_dB))));
    }
    return stated;
}

/// What the response leaves out may add so much for its bound to stand in for bands; own choice.
constexpr LevelDifference little_uncovered{0.5};

/// Those that a method by octave bands needs and the response tells nothing of.
std::vector<OctaveBand> unknown_bands(const ExpectedSound& predicted) {
    std::vector<OctaveBand> unknown;
    for (const OctaveBand band : octave_bands) {
        if (band >= OctaveBand::Hz125 && band <= OctaveBand::Hz8000 && !predicted.octave.at(band))
            unknown.push_back(band);
    }
    return unknown;
}

std::string names_of(const std::vector<OctaveBand>& bands) {
    std::string names;
    for (const OctaveBand band : bands)
        names += (names.empty() ? "" : ", ") + std::string(name_of(band));
    return names;
}

/// Whether the level hardly depends on what is unknown, so that its bound may stand for it.
bool are_bounded(const ExpectedSound& predicted) {
    const auto& at_most = predicted.uncovered.LAeq_at_most;
    return at_most && *at_most - *predicted.LAeq <= little_uncovered;
}

template <class Q>
OctaveLevels<Q> with_bounds(OctaveLevels<Q> bands, const OctaveLevels<Q>& at_most,
                            const ExpectedSound& predicted) {
    if (!are_bounded(predicted)) return bands;
    for (const OctaveBand band : unknown_bands(predicted)) {
        if (const auto level = at_most.at(band)) bands.set(band, *level);
    }
    return bands;
}

std::string words_of_bounded_bands(const ExpectedSound& predicted) {
    const auto unknown = unknown_bands(predicted);
    if (unknown.empty() || !are_bounded(predicted)) return {};
    return fmt::format(
        "; the response tells nothing of octave bands {} Hz: stated is how loud "
        "they could be at most",
        names_of(unknown));
}

SoundLevels levels_of(const ExpectedSound& predicted) {
    SoundLevels levels{.LAeq = as_stated(*predicted.LAeq)};
    if (predicted.LCeq) levels.LCeq = as_stated(*predicted.LCeq);
    levels.octave = bands_as_stated(
        with_bounds(predicted.octave, predicted.uncovered.octave_at_most, predicted));
    levels.uncertainty = LevelDifference(
        std::min(std::round(predicted.uncertainty.dB() * 100.0) / 100.0, highest_uncertainty.dB()));
    // Tones away from mid-band: their A-weighted bands, line by line, are stated too.
    const auto sum = a_weighted(levels.octave).sum();
    if (sum && std::abs((*sum - levels.LAeq).dB()) > octave_sum_tolerance.dB())
        levels.octave_A = bands_as_stated(
            with_bounds(predicted.octave_A, predicted.uncovered.octave_A_at_most, predicted));
    return levels;
}

}  // namespace

std::optional<ReadingNote> note_of_card(const Prediction& prediction) {
    if (!prediction.sound || !prediction.sound->levels.LAeq) return std::nullopt;
    const ExpectedSound& levels = prediction.sound->levels;
    const auto unknown = unknown_bands(levels);
    if (unknown.empty() || are_bounded(levels)) return std::nullopt;
    return ReadingNote{
        "octave-bands-missing",
        fmt::format("the card states no octave band of {} Hz, since the response tells nothing of "
                    "it and it could add more than {:.1f} dB: methods by octave bands cannot be "
                    "used with it; a response that covers these bands can",
                    names_of(unknown), little_uncovered.dB()),
        {prediction.sound->file.path}};
}

Sequence predicted_card(const Prediction& prediction, const std::string& id,
                        const std::string& title, const std::string& date) {
    const std::string& waveform = prediction.waveform.file.path;
    if (!prediction.sound || !prediction.sound->levels.LAeq ||
        !is_plausible_level(prediction.sound->levels.LAeq->dB())) {
        throw InputError({waveform},
                         "no card can be written: the response tells no level of this "
                         "sequence; accepted: a response that covers what it drives");
    }
    const PredictedSound& sound = *prediction.sound;
    const responses::StoredResponse& response = sound.response;
    Sequence card{.id = id, .title = title.empty() ? id : title, .levels = levels_of(sound.levels)};
    card.scanner = response.scanner;
    card.software = response.software;
    card.coil = response.coil;
    card.origin.how = "predicted";
    card.origin.who = response.origin.who;
    card.origin.when = date;
    card.origin.where = response.origin.where;
    card.origin.subject = response.origin.subject;
    // What no recording stands behind, no instrument measured.
    if (responses::recordings_held_back(response) >= recordings_for_a_trial)
        card.origin.instrument = response.origin.instrument;
    card.origin.calibration =
        fmt::format("response {}, sha256 {}", sound.file.path, sound.file.sha256.substr(0, 16));
    if (!response.origin.how.empty())
        card.origin.calibration += fmt::format(", which came about so: {}", response.origin.how);
    card.origin.uncertainty =
        fmt::format(
            "of predictions by that response: {}; at least half of what is not covered "
            "could add",
            responses::uncertainty_words(response)) +
        words_of_bounded_bands(sound.levels);
    card.origin.recording = fmt::format("none: predicted from the waveform {}", waveform);
    card.origin.duration = sound.levels.duration;
    return card;
}

}  // namespace earbudget::predicting
