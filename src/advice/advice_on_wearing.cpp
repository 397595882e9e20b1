#include <algorithm>
#include <set>

#include "advice/advising.hpp"
#include "choice/candidate_order.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

constexpr Formula formula_of_missing_reduction{
    "the least x in steps of 0.1 dB with which the level at the ear lowered by x keeps every "
    "exposure limit",
    "search; derived"};

Message perhaps_over_with(const Advising& on, bool unsure) {
    return unsure ? say<AdvicePhrase::PerhapsOver>(on.accepted_percent()) : Message();
}

bool includes(const std::vector<std::string>& wears, const std::vector<std::string>& others) {
    return std::ranges::all_of(others, [&wears](const std::string& id) {
        return std::ranges::find(wears, id) != wears.end();
    });
}

bool is_estimated_pair(const Plan& plan, const std::vector<std::string>& wears) {
    return wears.size() == 2 &&
           std::ranges::none_of(plan.catalogue.pairs, [&wears](const MeasuredPair& pair) {
               return includes(wears, {pair.plug, pair.earmuff});
           });
}

Advice wear_instead(const Advising& on, const BestCandidate& best) {
    const Candidate& candidate = *best.candidate;
    return {.code = includes(candidate.wears, on.person.wears) ? AdviceCode::AddProtection
                                                               : AdviceCode::ChangeProtection,
            .says = {say<AdvicePhrase::WearInstead>(
                candidate.stated_metal_free, names_of(on.plan.catalogue, candidate.wears),
                on.person.wearing.fraction_of_time < 1.0,
                candidate.at_ear ? say<AdvicePhrase::WhileScanning>(*candidate.at_ear) : Message(),
                on.kept_in_words(best.perhaps_over), perhaps_over_with(on, best.perhaps_over),
                best.perhaps_over || on.close_at_best(),
                is_estimated_pair(on.plan, candidate.wears), on.has_peak(Verdict::Over, false))},
            .wears = candidate.wears};
}

/// How to seat each kind of what is worn, each once.
std::vector<Message> fit_of(const Plan& plan, const Person& person) {
    std::vector<std::string> ids = in_order(plan.catalogue, person.wears);
    for (const Task& task : person.tasks) {
        if (!task.wears) continue;
        std::ranges::copy(in_order(plan.catalogue, *task.wears), std::back_inserter(ids));
    }
    std::vector<Message> all;
    std::set<ProtectorType> said;
    for (const std::string& id : ids) {
        ProtectorType type = plan.catalogue.find(id)->protector.type;
        if (type == ProtectorType::CustomPlug)
            type = ProtectorType::PremouldedPlug;  // seated alike
        if (said.insert(type).second) all.push_back(say<AdvicePhrase::HowToSeat>(type));
    }
    return all;
}

}  // namespace

void advise_better_wearing(Advising& on) {
    const Person& person = on.person;
    if (person.wears.empty()) return;
    if (person.wearing.poor_fit) {
        on.advice.push_back(
            {.code = AdviceCode::FitCheck,
             .says = {say<AdvicePhrase::DoesNotSeatAnother>(
                 in_order(on.plan.catalogue, person.wears), person.wears.size() == 1)}});
        return;
    }
    if (!(person.wearing.fraction_of_time < 1.0)) return;
    const ExposureDay throughout = day_exposure(on.plan, person, person.wears, Wearing{});
    if (!on.keeps_limits(person, throughout)) return;
    Person always = person;
    always.wearing.fraction_of_time = 1.0;
    const bool unsure = perhaps_over(on.plan, always, throughout);
    on.advice.push_back({.code = AdviceCode::WearThroughout,
                         .says = {say<AdvicePhrase::WearThroughout>(
                             100.0 * person.wearing.fraction_of_time, on.kept_in_words(unsure),
                             perhaps_over_with(on, unsure))},
                         .wears = person.wears});
}

void advise_protection(Advising& on) {
    const bool over =
        !on.keeps_limits(on.person, on.day, PeakPlace::AtEar, limits_for_protection(on.person));
    // Above an action value alone no protector helps.
    if (!over && is_over_any(on.person, on.day)) return;
    const auto best = best_within(on.plan, on.person, on.candidates);
    if (best && (over || !best->perhaps_over)) on.advice.push_back(wear_instead(on, *best));
}

void advise_fit_check(Advising& on) {
    if (!wears_anything(on.person) || on.person.wearing.poor_fit) return;
    const Person seated_poorly = poorly_seated(on.person);
    if (on.keeps_limits(seated_poorly, day_exposure(on.plan, seated_poorly))) return;
    on.advice.push_back(
        {.code = AdviceCode::FitCheck,
         .says = {say<AdvicePhrase::FitDecides>(poor_fit_reduction, fit_of(on.plan, on.person))}});
}

namespace {

struct Stand {
    std::size_t position;
    LevelA LEX_8h;
};

/// The loudest position that keeps every limit with its door shut, of those other than now.
std::optional<Stand> loudest_permitted(const Advising& on, std::size_t task) {
    std::optional<Stand> best;
    Person moved = on.person;
    moved.tasks[task].door_open = false;
    for (std::size_t position = 0; position < on.plan.positions.size(); ++position) {
        const Task& now = on.person.tasks[task];
        if (position == now.position && !now.door_open) continue;
        moved.tasks[task].position = position;
        // Without a day the position says nothing about a sequence, or the method lacks data there.
        const auto day = day_or_obstacle(on.plan, moved);
        const auto level = day ? daily_exposure_level(day->at_ear()) : std::nullopt;
        if (!level || !on.keeps_limits(moved, *day, PeakPlace::Anywhere)) continue;
        if (!best || *level > best->LEX_8h) best = Stand{position, *level};
    }
    return best;
}

Message move_to(const Plan& plan, const Task& task, const Stand& stand) {
    const Position& there = plan.positions[stand.position];
    return say<AdvicePhrase::MoveAway>(
        stand.position == *task.position
            ? say<AdvicePhrase::ShutDoor>(there.id)
            : say<AdvicePhrase::BeAt>(there.id, there.door_open.has_value(),
                                      plan.positions[*task.position].id),
        !task.title.empty(), task.title, stand.LEX_8h);
}

}  // namespace

void advise_position(Advising& on) {
    // The task with the largest share.
    const auto share = std::ranges::find_if(on.result.task_shares, [&](const Share& one) {
        return one.task && on.person.tasks[*one.task].position &&
               !on.person.tasks[*one.task].levels;
    });
    if (share == on.result.task_shares.end()) return;
    if (const auto stand = loudest_permitted(on, *share->task)) {
        on.advice.push_back({.code = AdviceCode::MoveAway,
                             .says = {move_to(on.plan, on.person.tasks[*share->task], *stand)},
                             .position = stand->position});
    }
}

namespace {

/// The missing reduction that keeps the accepted probability too, no less than `least`.
std::optional<LevelDifference> confident_reduction(const Advising& on, LevelDifference least) {
    return least_reduction([&](LevelDifference more) {
        return more >= least &&
               !on.drawn.perhaps_over({.added = more}, limits_for_protection(on.person));
    });
}

Message why_no_reduction(const Person& person) {
    const double worn = person.wearing.fraction_of_time;
    return worn < 1.0 ? say<AdvicePhrase::NoReductionPartOfTheTime>(100.0 * worn)
                      : say<AdvicePhrase::NoReductionWould>();
}

/// Only who has tried everything can speak of the catalogue.
Message nothing_keeps(const Person& person, const Candidates& candidates) {
    const bool tasks =
        std::ranges::any_of(person.tasks, [](const Task& task) { return task.wears.has_value(); });
    if (candidates.left_out == 0) return say<AdvicePhrase::NothingInCatalogue>(tasks);
    return say<AdvicePhrase::NoneOfTried>(candidates.tried.size(), tasks, candidates.left_out);
}

void leave_reduction(const Advising& on, const Advice& more) {
    if (!on.trace) return;
    StepOf step(say<StepPhrase::MissingReduction>(), on.key("added_reduction_dB"),
                formula_of_missing_reduction);
    step.columns({"criterion", "margin_dB"});
    for (const CriterionResult& criterion : on.result.criteria) {
        if (criterion.decides && !criterion.is_peak)
            step.row(criterion.criterion->id, criterion.margin);
    }
    on.leave(step.is(in_tenths(*more.reduction), "dB"));
    if (!more.confident_reduction) return;
    on.leave(confident_step(on.plan, on.person, say<StepPhrase::ConfidentMissingReduction>(),
                            on.key("confident_added_reduction_dB"),
                            in_tenths(*more.confident_reduction), "dB",
                            formula_of_confident_least));
}

}  // namespace

void advise_reduction(Advising& on) {
    const Person& person = on.person;
    if (!is_over_any(person, on.day, limits_for_protection(person))) return;
    const bool helped = std::ranges::any_of(on.advice, [](const Advice& other) {
        return other.code == AdviceCode::AddProtection ||
               other.code == AdviceCode::ChangeProtection;
    });
    Advice more{.code = AdviceCode::RequiredProtection};
    if (!helped) more.says.push_back(nothing_keeps(person, on.candidates));
    more.reduction = missing_reduction(person, on.day);
    if (!more.reduction) {
        more.says.push_back(why_no_reduction(person));
        on.advice.push_back(std::move(more));
        return;
    }
    more.confident_reduction = confident_reduction(on, *more.reduction);
    const bool below_0 = std::ranges::any_of(on.day.rows, [](const ExposureRow& row) {
        return row.prediction && row.prediction->raised_to_zero;
    });
    more.says.push_back(say<AdvicePhrase::MoreReduction>(*more.reduction, below_0, on.close_at_best()));
    if (more.confident_reduction) {
        more.says.push_back(say<AdvicePhrase::SureReduction>(
            *more.confident_reduction, on.accepted_percent(), wears_anything(person)));
    }
    leave_reduction(on, more);
    on.advice.push_back(std::move(more));
}

}  // namespace earbudget
