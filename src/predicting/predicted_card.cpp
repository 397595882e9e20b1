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

SoundLevels levels_of(const ExpectedSound& predicted) {
    SoundLevels levels{.LAeq = as_stated(*predicted.LAeq)};
    if (predicted.LCeq) levels.LCeq = as_stated(*predicted.LCeq);
    levels.octave = bands_as_stated(predicted.octave);
    levels.uncertainty = LevelDifference(
        std::min(std::round(predicted.uncertainty.dB() * 100.0) / 100.0, highest_uncertainty.dB()));
    // Tones away from mid-band: their A-weighted bands, line by line, are stated too.
    const auto sum = a_weighted(levels.octave).sum();
    if (sum && std::abs((*sum - levels.LAeq).dB()) > octave_sum_tolerance.dB())
        levels.octave_A = bands_as_stated(predicted.octave_A);
    return levels;
}

}  // namespace

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
    card.origin.instrument = response.origin.instrument;
    card.origin.calibration =
        fmt::format("response {}, sha256 {}", sound.file.path, sound.file.sha256.substr(0, 16));
    card.origin.uncertainty =
        "of predictions by that response, each recording held back in turn; at least half of what "
        "is not covered could add";
    card.origin.recording = fmt::format("none: predicted from the waveform {}", waveform);
    card.origin.duration = sound.levels.duration;
    return card;
}

}  // namespace earbudget::predicting
