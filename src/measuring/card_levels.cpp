#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "earbudget/measuring/measure.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget {

namespace {

template <class L>
L to_a_thousandth(L level) {
    return L(std::round(level.dB() * 1000.0) / 1000.0);
}

template <class L>
std::optional<L> to_a_thousandth(const std::optional<L>& level) {
    return level ? std::optional(to_a_thousandth(*level)) : std::nullopt;
}

template <class L>
std::optional<L> higher(const std::optional<L>& a, const std::optional<L>& b) {
    if (!a || !b) return a ? a : b;
    return std::max(*a, *b);
}

// Bands that the recording can carry; where it holds nothing, the lowest level that a card takes.
template <quantity::MeanSquare Q>
OctaveLevels<Q> stated_octaves(const OctaveLevels<Q>& measured, OctaveMask carried) {
    OctaveLevels<Q> stated;
    for (const OctaveBand band : octave_bands) {
        if (!carried.test(index_of(band))) continue;
        const auto level = measured.at(band);
        stated.set(band, level ? to_a_thousandth(*level) : Level<Q>(lowest_level_dB));
    }
    return stated;
}

bool agrees(const std::optional<LevelA>& sum, LevelA LAeq) {
    return sum && std::abs((*sum - LAeq).dB()) <= octave_sum_tolerance.dB();
}

}  // namespace

CardLevels card_levels(const MeasuredRecording& recording) {
    const MeasuredChannel* loudest = loudest_channel(recording);
    if (!loudest) throw std::logic_error("a card needs LAeq");
    const ChannelLevels& measured = loudest->levels;
    CardLevels card{{.LAeq = to_a_thousandth(*measured.LAeq)}, loudest->number, {}};
    SoundLevels& levels = card.levels;
    levels.LCeq = to_a_thousandth(measured.LCeq);
    for (const MeasuredChannel& channel : recording.channels) {
        levels.LCpeak = higher(levels.LCpeak, to_a_thousandth(channel.levels.LCpeak));
        levels.LZpeak = higher(levels.LZpeak, to_a_thousandth(channel.levels.LZpeak));
    }
    if (recording.channels.size() > 1) {
        card.notes.push_back(say<CheckPhrase::LoudestChannel>(loudest->number));
    }
    const OctaveMask carried = ~measured.above_nyquist;
    levels.octave = stated_octaves(measured.octave, carried);
    if (agrees(a_weighted(levels.octave).sum(), levels.LAeq)) return card;
    levels.octave_A = stated_octaves(measured.octave_A, carried);
    if (agrees(levels.octave_A.sum(), levels.LAeq)) {
        card.notes.push_back(say<CheckPhrase::WeightedBandsStated>());
        return card;
    }
    levels.octave = {};
    levels.octave_A = {};
    card.notes.push_back(say<CheckPhrase::NoBandsStated>());
    return card;
}

}  // namespace earbudget
