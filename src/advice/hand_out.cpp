#include "earbudget/advice/hand_out.hpp"

#include <algorithm>
#include <iterator>

#include "choice/notes.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/judge.hpp"

namespace earbudget {

namespace {

/// The worst of the limits that protection can keep, with what the plan says is worn.
Verdict exposure_verdict(const PersonResult& planned) {
    if (lacks_limit_of_age(*planned.person)) return Verdict::Unknown;
    const Limits limits = limits_for_protection(*planned.person);
    Verdict worst = Verdict::Within;
    bool any = false;
    for (const CriterionResult& result : planned.criteria) {
        // Nothing worn changes the peak outside.
        if (result.is_peak && !result.criterion->peak->at_ear) continue;
        if (!result.decides) continue;
        if (!counts_for(*result.criterion, *planned.person, limits)) continue;
        any = true;
        worst = std::max(worst, result.by_probability());
    }
    return any ? worst : Verdict::Unknown;
}

/// Whether a person may wear what the plan says: nothing, or what stands in the ranking.
bool is_permitted(const PersonChoice& choice, WornIds wears) {
    return wears.empty() || std::ranges::any_of(choice.ranking, [&](const RankedChoice& other) {
               return are_same_set(other.wears, wears) && other.is_answer();
           });
}

/// Whether the plan says what the person does not agree to, has no ears for, or has no room for in
/// the head coil.
bool is_refused(const Plan& plan, const PersonChoice& choice, WornIds wears) {
    const bool in_coil = choice.person->role == Role::Participant;
    const auto no_room = [&](const std::string& id) {
        return plan.catalogue.find(id)->protector.fits_head_coil == false;
    };
    return (in_coil && std::ranges::any_of(wears, no_room)) ||
           std::ranges::any_of(choice.ranking, [&](const RankedChoice& other) {
               return are_same_set(other.wears, wears) && !other.comfortable;
           });
}

bool keeps_as_planned(const Plan& plan, const PersonResult& planned, const PersonChoice& choice) {
    const RankedChoice* answer = choice.answer();
    const auto metal = metal_near_magnet(plan, *planned.person);
    if (std::ranges::find_first_of(planned.person->wears, metal) != planned.person->wears.end())
        return false;
    if (answer && !is_permitted(choice, planned.person->wears)) return false;
    if (is_refused(plan, choice, planned.person->wears)) return false;
    const Verdict verdict = exposure_verdict(planned);
    const bool surer = answer && answer->by_probability() == Verdict::Within;
    return verdict == Verdict::Within || (verdict == Verdict::Close && !surer);
}

HandOut hand_out_for(const Plan& plan, const PersonResult& planned, const PersonChoice& choice) {
    const Person& person = *planned.person;
    HandOut result;
    const RankedChoice* answer = choice.answer();
    result.plan_is_refused = is_refused(plan, choice, person.wears);
    if (keeps_as_planned(plan, planned, choice)) {
        result.wears = person.wears;
    } else if (choice.needs_none()) {
        result.kind = HandOut::Kind::Instead;
    } else if (answer) {
        result.kind = HandOut::Kind::Instead;
        result.wears = answer->wears;
    } else {
        result.kind = exposure_verdict(planned) == Verdict::Unknown ? HandOut::Kind::Undecided
                                                                    : HandOut::Kind::Nothing;
        return result;
    }
    const bool may_be_spare = std::ranges::all_of(person.instead, [&](const std::string& id) {
        return may_wear(plan, person, plan.catalogue.find(id)->protector);
    });
    if (!person.instead.empty() && may_be_spare && are_same_set(result.wears, person.wears)) {
        result.spare = person.instead;
        result.spare_verdict = planned.instead;
        return result;
    }
    // What the plan has was not good enough, nor is what is closer to a limit than what is handed
    // out.
    const bool instead = result.kind == HandOut::Kind::Instead;
    const Verdict most = instead && answer ? answer->by_probability() : exposure_verdict(planned);
    if (const RankedChoice* spare =
            spare_for(choice, result.wears, instead ? WornIds(person.wears) : WornIds(), most))
        result.spare = spare->wears;
    return result;
}

}  // namespace

const RankedChoice* spare_for(const PersonChoice& choice, WornIds worn, WornIds refused,
                              Verdict most) {
    if (worn.empty()) return nullptr;
    const auto found = std::ranges::find_if(choice.ranking, [&](const RankedChoice& other) {
        return other.is_answer() && other.by_probability() <= most &&
               !are_same_set(other.wears, refused) &&
               std::ranges::find_first_of(other.wears, worn) == other.wears.end();
    });
    return found == choice.ranking.end() ? nullptr : &*found;
}

PlannedHandOuts planned_hand_outs(const Plan& plan, const std::vector<PersonChoice>& choices) {
    PlannedHandOuts planned{assess_verdicts(plan)};
    for (std::size_t n = 0; n < choices.size(); ++n)
        planned.each.push_back(hand_out_for(plan, planned.assessment.people[n], choices[n]));
    return planned;
}

bool has_what_does_not_suit(const Plan& plan) {
    return std::ranges::any_of(plan.people, [&](const Person& person) {
        return std::ranges::any_of(person.wears, [&](const std::string& id) {
            const auto found = plan.catalogue.find(id);
            return found && !may_wear(plan, person, found->protector);
        });
    });
}

bool leaves_somebody_without(const HandOuts& outs) {
    return std::ranges::any_of(
        outs.each, [](const HandOut& out) { return out.kind == HandOut::Kind::Nothing; });
}

HandOuts hand_out(const Assessment& assessment) {
    const Plan& plan = *assessment.plan;
    const auto choices = choose(plan);
    HandOuts outs;
    auto instead = std::make_unique<Plan>(plan);
    instead->people.clear();
    std::vector<std::size_t> changed;
    for (std::size_t n = 0; n < assessment.people.size(); ++n) {
        const PersonResult& planned = assessment.people[n];
        outs.each.push_back(hand_out_for(plan, planned, choices[n]));
        if (outs.each.back().kind != HandOut::Kind::Instead) continue;
        instead->people.push_back(wearing_that(*planned.person, outs.each.back().wears));
        changed.push_back(n);
    }
    auto days = assess(*instead).people;
    for (std::size_t n = 0; n < changed.size(); ++n)
        outs.each[changed[n]].day = std::move(days[n]);
    outs.plan_instead = std::move(instead);
    return outs;
}

}  // namespace earbudget
