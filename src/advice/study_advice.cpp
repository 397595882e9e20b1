#include "earbudget/advice/study_advice.hpp"

#include <algorithm>

#include "choice/notes.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/computing/for_each_at_once.hpp"

namespace earbudget {

namespace {

/// How often a week holds a visit at most.
unsigned most_in_a_week(const std::vector<VisitsOfWeek>& weeks, std::size_t visit) {
    unsigned most = 1;
    for (const VisitsOfWeek& week : weeks)
        most = std::max(most, week[visit]);
    return most;
}

VisitAdvice advice_at(const Visit& visit, unsigned days_in_week) {
    auto plan = std::make_unique<Plan>(visit.plan);
    for (Person& person : plan->people) {
        person.days_per_week = days_in_week;
        person.visits.reset();
    }
    VisitAdvice advice{.plan = std::move(plan), .assessment = {}, .outs = {}};
    advice.assessment = assess(*advice.plan, Tracing::Off, false);
    advice.outs = hand_out(advice.assessment);
    return advice;
}

/// The study with what is handed out; null where that is what its plans have.
std::unique_ptr<Study> with_hand_outs(const Study& study, const std::vector<VisitAdvice>& visits) {
    auto changed = std::make_unique<Study>(study);
    bool any = false;
    for (std::size_t visit = 0; visit < visits.size(); ++visit) {
        const auto& outs = visits[visit].outs.each;
        for (std::size_t n = 0; n < outs.size(); ++n) {
            if (outs[n].kind != HandOut::Kind::Instead) continue;
            Person& person = changed->visits[visit].plan.people[n];
            person = wearing_that(person, outs[n].wears);
            any = true;
        }
    }
    return any ? std::move(changed) : nullptr;
}

}  // namespace

const PersonOfStudy* StudyAdvice::with_it(const std::string& person) const {
    if (!instead) return nullptr;
    const auto found = std::ranges::find(instead->people, person, &PersonOfStudy::id);
    return found == instead->people.end() ? nullptr : &*found;
}

StudyAdvice advise(const Study& study) {
    const auto weeks = heaviest_weeks(study);
    std::vector<std::size_t> places;
    for (std::size_t visit = 0; visit < study.visits.size(); ++visit)
        places.push_back(visit);
    StudyAdvice advice;
    advice.visits = for_each_at_once(places, [&](std::size_t visit) {
        return advice_at(study.visits[visit], most_in_a_week(weeks, visit));
    });
    auto changed = with_hand_outs(study, advice.visits);
    if (!changed) return advice;
    advice.instead = std::make_unique<const StudyAssessment>(assess(*changed));
    advice.study_instead = std::move(changed);
    return advice;
}

}  // namespace earbudget
