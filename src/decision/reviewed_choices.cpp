#include "decision/reviewed_choices.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "decision/choice_notes.hpp"
#include "decision/person_warnings.hpp"
#include "earbudget/decision/shorten.hpp"
#include "earbudget/study/input_error.hpp"

namespace earbudget {

namespace {

constexpr Seconds whole_day = Hours(24);
constexpr Seconds arithmetic_slack{1e-6};

// Any time does: the longest one does not hang on it.
constexpr Seconds starting_time{60.0};

using Wears = std::vector<std::string>;

/// Why this may not be worn at all; empty where it may.
std::string forbidden(Role role, const Protector& protector) {
    if (role == Role::Staff || protector.metal_free.value_or(true)) return "";
    return fmt::format("\"{}\" is not free of metal and must not {}", protector.id,
                       role == Role::Participant ? "enter the bore" : "come near the magnet");
}

/// Nothing, every protector that may be worn, then every such plug under every such earmuff.
std::vector<Wears> permitted_sets(const Catalogue& catalogue, Role role) {
    std::vector<const Protector*> permitted;
    for (const CatalogueEntry& entry : catalogue.protectors) {
        if (forbidden(role, entry.protector).empty()) permitted.push_back(&entry.protector);
    }
    std::vector<Wears> sets = {{}};
    for (const Protector* single : permitted)
        sets.push_back({single->id});
    for (const Protector* plug : permitted) {
        for (const Protector* earmuff : permitted) {
            if (plug->is_earmuff() || !earmuff->is_earmuff()) continue;
            sets.push_back({plug->id, earmuff->id});
        }
    }
    return sets;
}

std::string reason_unlimited(const Criterion& criterion, const std::optional<LevelA>& level) {
    const auto& threshold = criterion.rule.threshold;
    if (is_dose(criterion.quantity) && level && !criterion.rule.counts(*level)) {
        return fmt::format("{:.1f} dB(A) is below the threshold of {:g} dB(A) and does not count",
                           level->dB(), threshold->dB());
    }
    return "24 h of it keep the limit";
}

std::string reason_for_none(const Criterion& criterion, const std::optional<LevelA>& level) {
    const bool loudest = criterion.quantity == ExposureQuantity::LAeq_loudest;
    if (!level || (!loudest && !criterion.rule.ceiling)) return "no time at all keeps the limit";
    return fmt::format("{:.1f} dB(A) is above {:g} dB(A), which is not permitted for any time",
                       level->dB(),
                       (loudest ? criterion.rule.level : *criterion.rule.ceiling).dB());
}

PermittedTime permitted_time(const std::optional<Seconds>& in_a_session, unsigned sessions,
                             const Criterion& criterion, const std::optional<LevelA>& level) {
    if (!in_a_session || !(in_a_session->count() > 0.0)) {
        return {PermittedTime::Kind::NoTime, Seconds(0.0), reason_for_none(criterion, level)};
    }
    const Seconds a_day = static_cast<double>(sessions) * *in_a_session;
    if (a_day >= whole_day - arithmetic_slack) {
        return {PermittedTime::Kind::Unlimited, whole_day, reason_unlimited(criterion, level)};
    }
    return {PermittedTime::Kind::Limited, a_day, {}};
}

/// A person with one criterion: each is solved on its own.
Person with_criterion(const Person& person, const Criterion& criterion) {
    Person one = person;
    one.policy.criteria = {criterion};
    return one;
}

struct Days {
    HearingDay as_rated;
    std::optional<HearingDay> poorly_seated;
};

std::optional<LevelA> level_for(const Criterion& criterion, const HearingDay& day) {
    const HeardRow& row = day.rows.front();
    return criterion.with_protection ? row.at_ear : row.outside();
}

PermittedByCriterion permitted_by(const Criterion& criterion, const Person& person,
                                  const Days& days) {
    PermittedByCriterion result{.criterion = &criterion};
    const Person one = with_criterion(person, criterion);
    const unsigned sessions = person.sessions_per_day;
    const auto level = level_for(criterion, days.as_rated);
    const LongestTime longest = longest_time_of_row(one, days.as_rated, 0);
    result.best = permitted_time(longest.best_estimate, sessions, criterion, level);
    if (days.as_rated.rows.front().sound->uncertainty) {
        result.confident = permitted_time(longest.confident, sessions, criterion, level);
        if (result.confident->kind != PermittedTime::Kind::Limited) {
            result.confident->reason = result.confident->kind == PermittedTime::Kind::Unlimited
                                           ? "24 h of it keep the limit"
                                           : "no time keeps the probability of being over at 5 %";
        }
    }
    if (days.poorly_seated) {
        const auto poor = longest_time_of_row(one, *days.poorly_seated, 0).best_estimate;
        result.poorly_seated =
            permitted_time(poor, sessions, criterion, level_for(criterion, *days.poorly_seated));
    }
    return result;
}

constexpr std::array<std::string_view, 7> worth_a_note = {
    "pair-with-unknown", "pair-estimated",   "derating-superseded", "no-reduction",
    "bands-left-out",    "LC-without-63-Hz", "fit-test-of-others"};

void note_prediction(const Plan& plan, const Person& person, const HearingDay& day,
                     ReviewedChoice& choice) {
    Person wearer = person;
    wearer.wears = choice.wears;
    std::vector<Warning> warnings;
    warn_of_person(plan, wearer, day, warnings);
    const std::string prefix = person.id + ": ";
    for (const Warning& warning : warnings) {
        if (std::ranges::find(worth_a_note, warning.code) == worth_a_note.end()) continue;
        if (warning.code == "derating-superseded" && day.method != Method::Nrr) continue;
        choice.notes.push_back(warning.text.starts_with(prefix) ? warning.text.substr(prefix.size())
                                                                : warning.text);
    }
}

void note_wearing(const Plan& plan, const Person& person, ReviewedChoice& choice) {
    RankedChoice ranked{.wears = choice.wears};
    note_comfort(plan, person, ranked);
    choice.can_be_worn = ranked.fits_head_coil;
    choice.notes = std::move(ranked.notes);
}

ReviewedChoice reviewed(const Plan& plan, const ReviewTerms& terms, const Wears& wears) {
    const Person& person = plan.people.front();
    ReviewedChoice choice{.wears = wears};
    note_wearing(plan, person, choice);
    try {
        Days days{hear(plan, person, wears, Wearing{}), std::nullopt};
        choice.method = days.as_rated.method;
        choice.derating = days.as_rated.derating;
        choice.at_ear = days.as_rated.rows.front().at_ear;
        if (!wears.empty()) {
            days.poorly_seated =
                hear(plan, person, wears, {.fraction_of_time = 1.0, .poor_fit = true});
            choice.poorly_seated_at_ear = days.poorly_seated->rows.front().at_ear;
        }
        note_prediction(plan, person, days.as_rated, choice);
        for (const Criterion& criterion : terms.policy.criteria) {
            if (criterion.is_for(terms.role))
                choice.permitted.push_back(permitted_by(criterion, person, days));
        }
    } catch (const InputError& lacking) {
        // What no publication defines is asked for by the terms, not by a file.
        if (lacking.position().file == person.policy.stated_at.file) throw;
        choice.undecidable = lacking.what();
    }
    return choice;
}

}  // namespace

Plan plan_of_one(const Sequence& sequence, const ReviewTerms& terms) {
    Plan plan{.title = sequence.title, .sequences = {sequence}};
    if (terms.catalogue) plan.catalogue = *terms.catalogue;
    plan.timeline.push_back({.sequence = 0, .duration = starting_time});
    Person person{
        .id = std::string(name_of(terms.role)), .role = terms.role, .policy = terms.policy};
    person.sessions_per_day = terms.sessions_per_day;
    person.days_per_week = terms.days_per_week;
    // Others than participants hear what their tasks say: here the sequence, where its card stands.
    if (terms.role != Role::Participant) person.tasks.emplace_back();
    plan.people.push_back(std::move(person));
    return plan;
}

void review_choices(const Plan& plan, const ReviewTerms& terms, SequenceReview& result) {
    for (const CatalogueEntry& entry : plan.catalogue.protectors) {
        std::string why = forbidden(terms.role, entry.protector);
        if (!why.empty()) result.not_permitted.push_back(std::move(why));
    }
    for (const Wears& wears : permitted_sets(plan.catalogue, terms.role))
        result.choices.push_back(reviewed(plan, terms, wears));
}

}  // namespace earbudget
