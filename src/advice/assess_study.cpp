#include "earbudget/advice/assess_study.hpp"

#include <algorithm>
#include <set>

#include "earbudget/advice/assess.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/computing/for_each_at_once.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/exposure/limit.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/unmeasured.hpp"
#include "earbudget/uncertainty/joined_days.hpp"

namespace earbudget {

namespace {

/// Whether one week holds each visit at least as often as another.
bool holds_all_of(const VisitsOfWeek& week, const VisitsOfWeek& other) {
    return std::ranges::equal(week, other, std::ranges::greater_equal());
}

std::vector<VisitsOfWeek> largest(const std::set<VisitsOfWeek>& weeks) {
    std::vector<VisitsOfWeek> all;
    for (const VisitsOfWeek& week : weeks) {
        const bool held = std::ranges::any_of(weeks, [&](const VisitsOfWeek& other) {
            return other != week && holds_all_of(other, week);
        });
        if (!held) all.push_back(week);
    }
    return all;
}

/// The criterion as it is judged in a study.
Criterion as_of_week(const Criterion& criterion) {
    const bool daily = criterion.quantity == ExposureQuantity::LEX_8h && !criterion.weekly_average;
    return daily ? averaged_over_week(criterion) : criterion;
}

/// A person's days at the visits where there are any.
struct DaysOfPerson {
    std::vector<DayOfVisit> days = {};  ///< once each
    std::vector<std::size_t> visits = {};
    std::vector<ExposureDay> held = {};
};

DaysOfPerson days_of(const Study& study, const PersonOfStudy& person) {
    DaysOfPerson all;
    for (const PersonAtVisit& at : person.visits) {
        all.held.push_back(day_exposure(study.visits[at.visit].plan, *at.day->person));
        all.visits.push_back(at.visit);
    }
    for (std::size_t n = 0; n < all.held.size(); ++n)
        all.days.push_back(
            {&study.visits[all.visits[n]].plan, person.visits[n].day->person, &all.held[n]});
    return all;
}

/// The weeks as the person has them.
std::vector<VisitsOfWeek> weeks_of(const std::vector<VisitsOfWeek>& weeks,
                                   const std::vector<std::size_t>& visits) {
    std::set<VisitsOfWeek> own;
    for (const VisitsOfWeek& week : weeks) {
        VisitsOfWeek there(week.size(), 0);
        for (const std::size_t visit : visits)
            there[visit] = week[visit];
        own.insert(std::move(there));
    }
    return largest(own);
}

/// The person as judged over a week in one role, with the criteria of all visits in that role.
std::optional<Person> judged_over_week(const PersonOfStudy& person, Role role) {
    std::optional<Person> judged;
    for (const PersonAtVisit& at : person.visits) {
        const Person& there = *at.day->person;
        if (there.role != role) continue;
        if (!judged) {
            judged = there;
            judged->policy.criteria.clear();
        }
        Policy& policy = judged->policy;
        policy.accepted_probability =
            std::min(policy.accepted_probability, there.policy.accepted_probability);
        for (const Criterion& criterion : there.policy.criteria) {
            if (!criterion.is_for(role) || !is_on_week(criterion, there.policy)) continue;
            const Criterion weekly = as_of_week(criterion);
            add_once(weekly, policy.criteria);
        }
    }
    if (judged && judged->policy.criteria.empty()) judged.reset();
    return judged;
}

/// Whether a criterion on a week decides: at some visit it does.
bool decides_somewhere(const PersonOfStudy& person, const Criterion& weekly) {
    return std::ranges::any_of(person.visits, [&](const PersonAtVisit& at) {
        const Person& there = *at.day->person;
        return std::ranges::any_of(there.policy.criteria, [&](const Criterion& criterion) {
            return criterion.id == weekly.id && decides(criterion, there);
        });
    });
}

/// Every criterion of the judged person by one week.
std::vector<CriterionResult> judge_week(const DaysOfPerson& all, const VisitsOfWeek& week,
                                        const Person& judged) {
    std::vector<DayOfVisit> days;
    std::vector<Message> unmeasured;
    for (std::size_t n = 0; n < all.days.size(); ++n) {
        const unsigned times = week[all.visits[n]];
        if (times == 0) continue;
        const DayOfVisit& one = all.days[n];
        for (const Message& sound : unmeasured_in(*one.plan, *one.person, *one.day))
            add_once(sound, unmeasured);
        days.push_back(all.days[n]);
        days.back().times = times;
    }
    if (days.empty()) return {};
    auto results =
        judge_joined(days.front().plan->draws, judged, join_days(days), unmeasured);
    const bool lacking = std::ranges::any_of(
        days, [](const DayOfVisit& day) { return lacks_limit_of_age(*day.person); });
    if (lacking) leave_undecided(results);
    return results;
}

void add_week(const DaysOfPerson& all, const std::vector<VisitsOfWeek>& weeks,
              PersonOfStudy& person) {
    for (const Role role : role_rows.keys()) {
        auto found = judged_over_week(person, role);
        if (!found) continue;
        const auto judged = std::make_shared<const Person>(*std::move(found));
        std::vector<std::optional<WeekResult>> worst(judged->policy.criteria.size());
        for (const VisitsOfWeek& week : weeks) {
            auto results = judge_week(all, week, *judged);
            for (std::size_t n = 0; n < results.size(); ++n) {
                results[n].decides = decides_somewhere(person, *results[n].criterion);
                if (!worst[n] || is_tighter(results[n], worst[n]->result))
                    worst[n] = WeekResult{std::move(results[n]), week};
            }
        }
        for (auto& one : worst)
            if (one) person.week.push_back(*std::move(one));
        person.as_judged.push_back(judged);
    }
}

void add_total(const Study& study, const DaysOfPerson& all, StudyTotal& total) {
    const Criterion& niosh = *find_published_criterion("niosh-rel");
    for (std::size_t n = 0; n < all.held.size(); ++n) {
        const ExposureDay& day = all.held[n];
        const unsigned times = study.visits[all.visits[n]].times;
        total.days += times;
        total.sessions += times * day.sessions;
        for (const ExposureRow& row : day.rows) {
            const Seconds time = static_cast<double>(times * day.times_a_day(row)) * row.time;
            total.time += time;
            if (row.sequence) total.scanning += time;
        }
        total.at_ear_Pa2h += times * sound_exposure_Pa2h(day.at_ear());
        total.outside_Pa2h += times * sound_exposure_Pa2h(day.outside());
        total.niosh_percent += times * value_of(niosh, parts_for(niosh, day)).value_or(0.0);
    }
}

void add_visit(std::size_t visit, const PersonResult& result, PersonOfStudy& person) {
    PersonAtVisit at{.visit = visit, .day = &result};
    const Person& there = *result.person;
    for (const CriterionResult& limit : result.criteria) {
        if (!limit.is_peak && is_on_week(*limit.criterion, there.policy)) continue;
        at.limits.push_back(&limit);
        if (limit.decides)
            at.verdict = std::max(at.verdict.value_or(Verdict::Within), limit.verdict);
    }
    if (result.criteria.empty()) at.verdict = Verdict::Unknown;
    if (there.days_per_week) add_once(*there.days_per_week, person.days_per_week_stated);
    if (there.visits) add_once(*there.visits, person.visits_stated);
    person.visits.push_back(std::move(at));
}

std::vector<PersonOfStudy> people_of(const std::vector<Assessment>& visits) {
    std::vector<PersonOfStudy> people;
    for (std::size_t visit = 0; visit < visits.size(); ++visit) {
        for (const PersonResult& result : visits[visit].people) {
            const std::string& id = result.person->id;
            auto known = std::ranges::find(people, id, &PersonOfStudy::id);
            if (known == people.end()) known = people.insert(people.end(), PersonOfStudy{.id = id});
            add_visit(visit, result, *known);
        }
    }
    for (PersonOfStudy& person : people) {
        for (std::size_t visit = 0; visit < visits.size(); ++visit) {
            if (std::ranges::find(person.visits, visit, &PersonAtVisit::visit) ==
                person.visits.end())
                person.missing.push_back(visit);
        }
    }
    return people;
}

Verdict verdict_over_all(const PersonOfStudy& person) {
    std::optional<Verdict> worst;
    for (const PersonAtVisit& at : person.visits)
        if (at.verdict) worst = std::max(worst.value_or(Verdict::Within), *at.verdict);
    for (const WeekResult& week : person.week)
        if (week.result.decides)
            worst = std::max(worst.value_or(Verdict::Within), week.result.verdict);
    return worst.value_or(Verdict::Unknown);
}

}  // namespace

std::vector<VisitsOfWeek> heaviest_weeks(const Study& study) {
    struct Occurrence {
        std::size_t visit;
        unsigned day;
    };
    std::vector<Occurrence> all;
    for (std::size_t visit = 0; visit < study.visits.size(); ++visit) {
        for (unsigned n = 0; n < study.visits[visit].times; ++n) {
            const unsigned day = all.empty() ? 0 : all.back().day + study.visits[visit].days_apart;
            all.push_back({visit, day});
        }
    }
    std::set<VisitsOfWeek> weeks;
    for (std::size_t first = 0; first < all.size(); ++first) {
        VisitsOfWeek week(study.visits.size(), 0);
        for (std::size_t n = first; n < all.size() && all[n].day < all[first].day + days_of_week;
             ++n)
            ++week[all[n].visit];
        weeks.insert(std::move(week));
    }
    return largest(weeks);
}

bool is_on_week(const Criterion& criterion, const Policy& policy) {
    if (criterion.quantity == ExposureQuantity::WeeklyDose || criterion.weekly_average) return true;
    return criterion.quantity == ExposureQuantity::LEX_8h && policy.weekly_average &&
           criterion.allows_weekly_average;
}

const CriterionResult* PersonOfStudy::tightest() const {
    std::vector<const CriterionResult*> all;
    for (const PersonAtVisit& at : visits)
        all.insert(all.end(), at.limits.begin(), at.limits.end());
    for (const WeekResult& one : week)
        all.push_back(&one.result);
    return tightest_of(all);
}

const PersonAtVisit* PersonOfStudy::worst_visit() const {
    const PersonAtVisit* worst = nullptr;
    const CriterionResult* by = nullptr;
    for (const PersonAtVisit& at : visits) {
        const CriterionResult* here = tightest_of(at.limits);
        if (!here || (by && !is_tighter(*here, *by))) continue;
        by = here;
        worst = &at;
    }
    return worst;
}

const WeekResult* PersonOfStudy::worst_week() const {
    std::vector<const CriterionResult*> all;
    for (const WeekResult& one : week)
        all.push_back(&one.result);
    const CriterionResult* worst = tightest_of(all);
    const auto found =
        std::ranges::find_if(week, [&](const WeekResult& one) { return &one.result == worst; });
    return found == week.end() ? nullptr : &*found;
}

Verdict StudyAssessment::verdict() const {
    Verdict worst = people.empty() ? Verdict::Unknown : Verdict::Within;
    for (const PersonOfStudy& person : people)
        worst = std::max(worst, person.verdict);
    return worst;
}

StudyAssessment assess(const Study& study) {
    StudyAssessment assessment{.study = &study};
    std::vector<const Visit*> visits;
    for (const Visit& visit : study.visits)
        visits.push_back(&visit);
    assessment.visits =
        for_each_at_once(visits, [](const Visit* visit) { return assess_verdicts(visit->plan); });
    const auto weeks = heaviest_weeks(study);
    assessment.people =
        for_each_at_once(people_of(assessment.visits), [&](const PersonOfStudy& begun) {
            PersonOfStudy person = begun;
            const DaysOfPerson days = days_of(study, person);
            add_week(days, weeks_of(weeks, days.visits), person);
            add_total(study, days, person.total);
            person.verdict = verdict_over_all(person);
            return person;
        });
    return assessment;
}

}  // namespace earbudget
