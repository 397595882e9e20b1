#include <algorithm>
#include <array>
#include <iterator>

#include "choice/notes.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/phrases.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/study/catalogue.hpp"
#include "review/reviewing.hpp"

namespace earbudget {

namespace {

// Any time does: the longest one does not hang on it.
constexpr Seconds starting_time{60.0};

using Wears = std::vector<std::string>;

constexpr std::array worth_a_note = {
    WarningPhrase::PairWithUnknown,    WarningPhrase::PairEstimated,
    WarningPhrase::PairWorseThanPart,  WarningPhrase::DeratingSuperseded,
    WarningPhrase::ReductionBelowZero, WarningPhrase::BandsLeftOut,
    WarningPhrase::LCWithout63Hz,      WarningPhrase::FitTestOfOthers,
    WarningPhrase::SpectrumNotKnown,   WarningPhrase::LabelFor84Percent};

void note_wearing(const Plan& plan, const Person& person, ReviewedChoice& choice) {
    RankedChoice ranked{.wears = choice.wears};
    note_comfort(plan, person, ranked);
    choice.can_be_worn = ranked.fits_head_coil;
    choice.notes = std::move(ranked.notes);
}

/// What stands in the way, with its place, or without where the terms stand in no file.
Message reason_at(const std::optional<SourcePosition>& where, const Message& why) {
    return where && !where->file.empty() ? say<ChoicePhrase::AtPlace>(*where, why) : why;
}

/// How long the sequence may last by each criterion for the role.
void permit(const Plan& plan, const ReviewTerms& terms, const ReviewedDays& days,
            const MonteCarloDay& drawn, ReviewedChoice& choice, Trace* trace = nullptr,
            std::size_t place = 0) {
    const Person& person = plan.people.front();
    const auto& criteria = terms.policy.criteria;
    const std::string worn =
        choice.wears.empty() ? "nothing worn" : fmt::format("{}", fmt::join(choice.wears, " + "));
    // What no method reaches is heard outside all the same, where protectors do not count.
    const bool outside_alone = !days.as_rated.unreached.empty();
    for (std::size_t n = 0; n < criteria.size(); ++n) {
        if (!criteria[n].is_for(terms.role)) continue;
        PermittedByCriterion permitted{.criterion = &criteria[n]};
        permitted.decides = counts_for(criteria[n], person, limits_for_protection(person));
        if (!outside_alone || !criteria[n].with_protection)
            permitted = permitted_by(criteria[n], n, plan, person, days, drawn,
                                     {trace, worn, place + choice.permitted.size()});
        permitted.decides &= can_forbid(criteria[n], terms);
        choice.permitted.push_back(std::move(permitted));
    }
}

/// `place`: how many permitted times the review has before those of this choice.
ReviewedChoice reviewed(const Plan& plan, const ReviewTerms& terms, const Wears& wears,
                        Trace* trace, std::size_t place) {
    const Person& person = plan.people.front();
    ReviewedChoice choice{.wears = wears};
    Trace steps;
    note_wearing(plan, person, choice);
    const auto days = days_of(plan, wears, trace ? &steps : nullptr);
    if (!days) {
        choice.undecidable = reason_at(days.obstacle().position(), days.obstacle().says());
        return choice;
    }
    const ExposureDay& as_rated = days->as_rated;
    const MonteCarloDay drawn(plan, person, as_rated);
    if (!as_rated.unreached.empty()) {
        const Unreached& first = as_rated.unreached.front();
        choice.undecidable = reason_at(first.where, first.why());
        permit(plan, terms, *days, drawn, choice);
        return choice;
    }
    choice.method = as_rated.method;
    choice.derating = as_rated.derating;
    choice.at_ear = as_rated.rows.front().at_ear;
    if (days->poorly_seated) choice.poorly_seated_at_ear = days->poorly_seated->rows.front().at_ear;
    std::ranges::move(notes_of_warnings(plan, person, wears, as_rated, worth_a_note, true),
                      std::back_inserter(choice.notes));
    if (drawn.errors().people_spread_by_default) {
        choice.notes.push_back(say<WarningPhrase::PeopleSpreadByDefault>(people_spread_by_default));
    }
    permit(plan, terms, *days, drawn, choice, trace ? &steps : nullptr, place);
    if (trace) trace->leave(steps.take());
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
        result.choices.push_back(reviewed(plan, terms, wears, trace, place));
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
