#include "earbudget/decision/advise.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/decision/candidates.hpp"
#include "earbudget/decision/judge.hpp"
#include "earbudget/decision/shorten.hpp"

namespace earbudget {

namespace {

std::string names_of(const Plan& plan, const std::vector<std::string>& wears) {
    std::string names;
    for (const std::string& id : wears) {
        names += names.empty() ? "" : " under ";
        names += fmt::format("{} ({})", plan.catalogue.find(id)->protector.title, id);
    }
    return names;
}

bool exceeds_an_exposure_limit(const PersonResult& result) {
    return std::any_of(result.criteria.begin(), result.criteria.end(), [](const auto& criterion) {
        return criterion.quantity != "peak" && criterion.verdict == Verdict::Over;
    });
}

bool exceeds_the_peak(const PersonResult& result) {
    return std::any_of(result.criteria.begin(), result.criteria.end(), [](const auto& criterion) {
        return criterion.quantity == "peak" && criterion.verdict == Verdict::Over;
    });
}

// By how much the level at the ear must fall for every limit that counts protectors.
std::optional<LevelDifference> missing_reduction(const Person& person, const HearingDay& day) {
    std::optional<LevelDifference> missing;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!criterion.is_for(person.role) || !criterion.with_protection) continue;
        const auto margin = margin_of(criterion, parts_for(criterion, day));
        if (!margin || *margin >= LevelDifference(0.0)) continue;
        missing = missing ? std::max(*missing, -*margin) : -*margin;
    }
    return missing;
}

bool includes(const std::vector<std::string>& wears, const std::vector<std::string>& others) {
    return std::all_of(others.begin(), others.end(), [&wears](const std::string& id) {
        return std::find(wears.begin(), wears.end(), id) != wears.end();
    });
}

bool is_estimated_pair(const Plan& plan, const std::vector<std::string>& wears) {
    const auto& pairs = plan.catalogue.pairs;
    return wears.size() == 2 &&
           std::none_of(pairs.begin(), pairs.end(), [&wears](const MeasuredPair& pair) {
               return includes(wears, {pair.plug, pair.earmuff});
           });
}

Advice wear_instead(const Plan& plan, const Person& person, const Candidate& candidate) {
    return {
        .code = includes(candidate.wears, person.wears) ? "add-protection" : "change-protection",
        .text = fmt::format("Wear {}: {:.1f} dB(A) at the ear while sequences run, within every "
                            "limit{} if fitted as rated{}.",
                            names_of(plan, candidate.wears), candidate.at_ear.value().dB(),
                            candidate.perhaps_over ? ", though not surely," : "",
                            is_estimated_pair(plan, candidate.wears)
                                ? " (estimated, nobody measured this pair)"
                                : ""),
        .wears = candidate.wears};
}

void advise_protection(const Plan& plan, const HearingDay& day, const PersonResult& result,
                       std::vector<Advice>& advice) {
    const Person& person = *result.person;
    const auto candidates = candidates_for(plan, person);
    const Candidate* best = best_within(candidates);
    const bool helps =
        best && best->at_ear && (result.verdict == Verdict::Over || !best->perhaps_over);
    if (helps) {
        advice.push_back(wear_instead(plan, person, *best));
        return;
    }
    const auto missing = missing_reduction(person, day);
    if (!missing) return;
    advice.push_back(
        {.code = "required-protection",
         .text = fmt::format("Nothing in the catalogue that {} may wear brings the level within "
                             "every limit: {:.1f} dB more reduction than now would.",
                             person.id, missing->dB())});
}

std::string confident_sentence(const std::optional<Seconds>& confident) {
    if (!confident) return "";
    if (confident->count() == 0.0) {
        return " No time of it at all keeps the probability of being over at 5 % or less.";
    }
    return fmt::format(" At most {} keeps the probability of being over at 5 % or less.",
                       text_of(*confident));
}

Advice shorten_row(const Plan& plan, const HearingDay& day, std::size_t row,
                   const LongestTime& longest) {
    const HeardRow& heard = day.rows[row];
    const std::string where =
        heard.position ? fmt::format(" ({})", plan.positions[*heard.position].id) : "";
    const bool over_now = *longest.best_estimate < heard.time;
    return {.code = "shorten",
            .text = fmt::format("{} \"{}\"{}: at most {} a session in all (now {}){}.{}",
                                over_now ? "Shorten" : "Do not lengthen",
                                plan.sequences[*heard.sequence].id, where,
                                text_of(*longest.best_estimate), text_of(heard.time),
                                over_now ? "" : " is within by the best estimate",
                                confident_sentence(longest.confident)),
            .row = row,
            .seconds = longest.best_estimate,
            .confident_seconds = longest.confident};
}

// Rows with a sequence, the one with the largest share of the sound energy first.
std::vector<std::size_t> rows_by_share(const PersonResult& result) {
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < result.segments.size(); ++i) {
        if (result.segments[i].row.sequence) rows.push_back(i);
    }
    std::stable_sort(rows.begin(), rows.end(), [&](std::size_t a, std::size_t b) {
        return result.segments[a].share_percent > result.segments[b].share_percent;
    });
    return rows;
}

void advise_shortening(const Plan& plan, const HearingDay& day, const PersonResult& result,
                       std::vector<Advice>& advice) {
    for (const std::size_t row : rows_by_share(result)) {
        const LongestTime longest = longest_time_of_row(*result.person, day, row);
        if (!longest.best_estimate || longest.best_estimate->count() == 0.0) continue;
        advice.push_back(shorten_row(plan, day, row, longest));
        return;
    }
    const LongestTime all = longest_time_of_all_sequences(*result.person, day);
    if (!all.best_estimate || all.best_estimate->count() == 0.0) return;
    advice.push_back(
        {.code = "shorten",
         .text = fmt::format("Leaving out one sequence is not enough: shorten all of them in "
                             "proportion, to {} a session together.{}",
                             text_of(*all.best_estimate), confident_sentence(all.confident)),
         .seconds = all.best_estimate,
         .confident_seconds = all.confident});
}

// What the protector already worn would do if it were seated well and worn all the time.
void advise_better_wearing(const Plan& plan, const PersonResult& result,
                           std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (person.wears.empty()) return;
    const auto would_be_within = [&](const Wearing& wearing) {
        return !is_over_any(person, hear(plan, person, person.wears, wearing));
    };
    if (person.wearing.poor_fit &&
        would_be_within({person.wearing.fraction_of_time, /*poor_fit=*/false})) {
        advice.push_back({.code = "fit-check",
                          .text = "Seated well, the same protection is within every limit: take it "
                                  "out, seat it again and check both ears before the first run.",
                          .wears = person.wears});
    }
    if (person.wearing.fraction_of_time < 1.0 && would_be_within({1.0, person.wearing.poor_fit})) {
        advice.push_back({.code = "wear-throughout",
                          .text = fmt::format("Worn all the time instead of {:.0f} % of it, the "
                                              "same protection is within every limit.",
                                              100.0 * person.wearing.fraction_of_time),
                          .wears = person.wears});
    }
}

void advise_fit_check(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (person.wears.empty() || person.wearing.poor_fit) return;
    const Wearing poor{.fraction_of_time = person.wearing.fraction_of_time, .poor_fit = true};
    if (!is_over_any(person, hear(plan, person, person.wears, poor))) return;
    advice.push_back(
        {.code = "fit-check",
         .text = fmt::format(
             "The verdict hangs on the fit: with {:.0f} dB, as poorly seated protectors give, {} "
             "is "
             "over a limit. Check both ears before the first run: roll a plug thin, pull the ear "
             "up and back, hold the plug in until it has expanded; seat a muff on bare skin. Ask "
             "whether the pump became clearly quieter; if not, seat it again.",
             poor_fit_reduction.dB(), person.id)});
}

void advise_less_protection(const HearingDay& day, const PersonResult& result,
                            std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (!person.policy.speech_must_be_heard || person.wears.empty()) return;
    const auto level = level_while_scanning(day);
    if (!level || *level >= least_useful_level_at_ear) return;
    advice.push_back(
        {.code = "too-much-protection",
         .text = fmt::format("{:.1f} dB(A) at the ear while sequences run is below {:.0f} dB(A): "
                             "spoken instructions may not be heard, though the plan says they must "
                             "be. Agree on a sign, or take a protector with less attenuation.",
                             level->dB(), least_useful_level_at_ear.dB())});
}

}  // namespace

std::vector<Advice> advise(const Plan& plan, const HearingDay& day, const PersonResult& result) {
    std::vector<Advice> advice;
    const bool over = exceeds_an_exposure_limit(result);
    if (over) advise_better_wearing(plan, result, advice);
    if (over || result.verdict == Verdict::Close) {
        advise_protection(plan, day, result, advice);
        advise_shortening(plan, day, result, advice);
    }
    if (exceeds_the_peak(result)) {
        advice.push_back({.code = "measure-again",
                          .text = "A peak is above its limit outside the protector: neither a "
                                  "shorter time nor this computation can mend that. Measure the "
                                  "peak again and do not run the sequence before it is lower."});
    }
    if (!over) advise_fit_check(plan, result, advice);
    advise_less_protection(day, result, advice);
    return advice;
}

}  // namespace earbudget
