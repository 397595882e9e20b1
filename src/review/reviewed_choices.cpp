#include "review/reviewed_choices.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "choice/choice_notes.hpp"
#include "choice/person_warnings.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/study/input_error.hpp"
#include "earbudget/study/wearable_sets.hpp"
#include "review/permitted_time.hpp"

namespace earbudget {

namespace {

// Any time does: the longest one does not hang on it.
constexpr Seconds starting_time{60.0};

using Wears = std::vector<std::string>;

constexpr std::array<std::string_view, 9> worth_a_note = {
    "pair-with-unknown",  "pair-estimated",     "derating-superseded",
    "no-reduction",       "bands-left-out",     "LC-without-63-Hz",
    "fit-test-of-others", "spectrum-not-known", "label-for-84-percent"};

void note_prediction(const Plan& plan, const Person& person, const HearingDay& day,
                     ReviewedChoice& choice) {
    Person wearer = person;
    wearer.wears = choice.wears;
    std::vector<Warning> warnings;
    warn_of_person(plan, wearer, day, warnings);
    for (const Warning& warning : warnings) {
        if (std::ranges::find(worth_a_note, warning.code) == worth_a_note.end()) continue;
        if (warning.code == "derating-superseded" && !day.uses(Method::Nrr)) continue;
        choice.notes.push_back(warning.text);
    }
}

void note_wearing(const Plan& plan, const Person& person, ReviewedChoice& choice) {
    RankedChoice ranked{.wears = choice.wears};
    note_comfort(plan, person, ranked);
    choice.can_be_worn = ranked.fits_head_coil;
    choice.notes = std::move(ranked.notes);
}

/// The message with its place, or without where the terms stand in no file.
std::string reason_of(const InputError& lacking) {
    const std::string what = lacking.what();
    if (!lacking.position().file.empty()) return what;
    return what.substr(lacking.position().text().size() + std::string_view(": ").size());
}

/// What stands in the way of every method, with its place where it has one.
std::string reason_of(const Unreached& unreached) {
    const auto& where = unreached.where;
    return where && !where->file.empty() ? fmt::format("{}: {}", where->text(), unreached.text)
                                         : unreached.text;
}

/// What no method reaches is heard outside all the same, where protectors do not count.
void permit_outside(const Plan& plan, const ReviewTerms& terms, const ReviewedDays& days,
                    const DrawnDay& drawn, ReviewedChoice& choice) {
    const Person& person = plan.people.front();
    const auto& criteria = terms.policy.criteria;
    for (std::size_t n = 0; n < criteria.size(); ++n) {
        const Criterion& criterion = criteria[n];
        if (!criterion.is_for(terms.role)) continue;
        PermittedByCriterion permitted{.criterion = &criterion};
        permitted.decides = counts_for(criterion, person, limits_for_protection(person));
        if (!criterion.with_protection)
            permitted = permitted_by(criterion, n, plan, person, days, drawn);
        permitted.decides &= can_forbid(criterion, terms);
        choice.permitted.push_back(std::move(permitted));
    }
}

/// Where to leave the working of a choice, and how many permitted times there are before it.
struct ReviewTrace {
    Trace* trace;
    std::size_t place;
};

ReviewedChoice reviewed(const Plan& plan, const ReviewTerms& terms, const Wears& wears,
                        const ReviewTrace& review) {
    const Person& person = plan.people.front();
    ReviewedChoice choice{.wears = wears};
    Trace trace;
    note_wearing(plan, person, choice);
    try {
        const ReviewedDays days = days_of(plan, wears, review.trace ? &trace : nullptr);
        const DrawnDay drawn(plan, person, days.as_rated);
        if (!days.as_rated.unreached.empty()) {
            choice.undecidable = reason_of(days.as_rated.unreached.front());
            permit_outside(plan, terms, days, drawn, choice);
            return choice;
        }
        choice.method = days.as_rated.method;
        choice.derating = days.as_rated.derating;
        choice.at_ear = days.as_rated.rows.front().at_ear;
        if (days.poorly_seated) {
            choice.poorly_seated_at_ear = days.poorly_seated->rows.front().at_ear;
        }
        note_prediction(plan, person, days.as_rated, choice);
        if (drawn.errors().people_spread_by_default) {
            choice.notes.push_back(words_of_default_spread());
        }
        const auto& criteria = terms.policy.criteria;
        const std::string worn =
            wears.empty() ? "nothing worn" : fmt::format("{}", fmt::join(wears, " + "));
        for (std::size_t n = 0; n < criteria.size(); ++n) {
            if (!criteria[n].is_for(terms.role)) continue;
            const PermittedTrace here{trace, worn, review.place + choice.permitted.size()};
            choice.permitted.push_back(permitted_by(criteria[n], n, plan, person, days, drawn,
                                                    review.trace ? &here : nullptr));
            choice.permitted.back().decides &= can_forbid(criteria[n], terms);
        }
        if (review.trace) review.trace->leave(trace.take());
    } catch (const InputError& lacking) {
        choice.undecidable = reason_of(lacking);
    }
    return choice;
}

}  // namespace

Plan plan_of_one(const Sequence& sequence, const ReviewTerms& terms) {
    Plan plan{.title = sequence.title, .sequences = {sequence}, .draws = terms.draws};
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

void review_choices(const Plan& plan, const ReviewTerms& terms, SequenceReview& result,
                    Trace* trace) {
    const Person& person = plan.people.front();
    for (const CatalogueEntry& entry : plan.catalogue.protectors) {
        if (auto why = metal_forbids(plan, person, entry.protector))
            result.not_permitted.push_back(*std::move(why));
    }
    std::size_t place = 0;  // among all permitted times
    const auto add = [&](const Wears& wears) {
        result.choices.push_back(reviewed(plan, terms, wears, {trace, place}));
        const ReviewedChoice& choice = result.choices.back();
        place +=
            choice.undecidable.empty() ? choice.permitted.size() : terms.policy.criteria.size();
    };
    add({});
    const auto permitted = [&](const Protector& protector) {
        return !metal_forbids(plan, person, protector);
    };
    for (const Wears& wears : wearable_sets(plan.catalogue, permitted))
        add(wears);
}

}  // namespace earbudget
