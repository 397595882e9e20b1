#include "earbudget/review/compare_cards.hpp"

#include <algorithm>

#include "earbudget/study/sequence.hpp"

namespace earbudget {

namespace {

template <class L>
std::optional<double> decibels(const std::optional<L>& level) {
    return level ? std::optional(level->dB()) : std::nullopt;
}

}  // namespace

std::vector<LevelChange> level_changes(const Sequence& card_before, const Sequence& card_now) {
    const SoundLevels& before = card_before.levels;
    const SoundLevels& now = card_now.levels;
    std::vector<LevelChange> changes = {
        {"LAeq", before.LAeq.dB(), now.LAeq.dB()},
        {"LCeq", decibels(before.c_weighted_level()), decibels(now.c_weighted_level())},
        {"LCpeak", decibels(before.LCpeak), decibels(now.LCpeak)},
        {"LZpeak", decibels(before.LZpeak), decibels(now.LZpeak)},
        {"uncertainty", stated_or_default_uncertainty(card_before).whole.dB(),
         stated_or_default_uncertainty(card_now).whole.dB()}};
    for (const OctaveBand band : octave_bands) {
        changes.push_back({std::string(name_of(band)) + " Hz", decibels(before.octave.at(band)),
                           decibels(now.octave.at(band))});
    }
    std::erase_if(changes, [](const LevelChange& change) { return !change.before && !change.now; });
    return changes;
}

std::vector<TimeChange> time_changes(const SequenceReview& before, const SequenceReview& now) {
    std::vector<TimeChange> changes;
    for (const ReviewedChoice& choice : now.choices) {
        const auto same = std::ranges::find(before.choices, choice.wears, &ReviewedChoice::wears);
        if (same == before.choices.end()) continue;
        // A choice that is undecidable for one of the two has no times there.
        const auto& known = choice.permitted.empty() ? same->permitted : choice.permitted;
        for (std::size_t i = 0; i < known.size(); ++i) {
            TimeChange change{.wears = choice.wears, .criterion = known[i].criterion};
            if (i < same->permitted.size()) {
                change.before = same->permitted[i].best;
                change.confident_before = same->permitted[i].confident;
            }
            if (i < choice.permitted.size()) {
                change.now = choice.permitted[i].best;
                change.confident_now = choice.permitted[i].confident;
            }
            changes.push_back(std::move(change));
        }
    }
    return changes;
}

}  // namespace earbudget
