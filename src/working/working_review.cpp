#include <fmt/format.h>

#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/shorten.hpp"
#include "review/permitted_time.hpp"
#include "review/reviewed_choices.hpp"
#include "working/working_time.hpp"

namespace earbudget {

namespace {

constexpr Formula time_a_day{"sessions · T, T the longest time in a session; 24 h at most",
                             "docs/methods.md, review; derived"};

std::string name_of_worn(const ReviewedChoice& choice) {
    return choice.wears.empty() ? "nothing worn"
                                : fmt::format("{}", fmt::join(choice.wears, " + "));
}

/// The longest time in a session, then a day.
void work_out_time(const Person& person, const HearingDay& day, const std::string& what,
                   const std::string& key, const PermittedTime& permitted, Working& working) {
    const LongestTime longest = longest_time_of_row(person, day, 0);
    StepOf in_a_session = start_longest(person, day, "longest time in a session, " + what, {});
    working.push_back(longest_step(person, day, one_row(day, 0), room_in_a_day(day, 0),
                                   longest.best_estimate, std::move(in_a_session)));
    working.push_back(StepOf("permitted time a day, " + what, {key}, time_a_day)
                          .value("sessions", static_cast<double>(day.sessions))
                          .value("T_s", longest.best_estimate)
                          .is(permitted.a_day, "s"));
}

/// One criterion of one choice; `place` is its index among all of the review.
void work_out_permitted(const Plan& plan, const PermittedByCriterion& by, const ReviewedDays& days,
                        const std::string& worn, std::size_t place, Working& working) {
    const std::size_t first = working.size();
    const Person person = with_criterion(plan.people.front(), *by.criterion);
    const std::string what = fmt::format("{}, {}", worn, by.criterion->id);
    const auto key = [place](std::string_view name) { return key_of("permitted", place, name); };
    if (by.best) {
        work_out_time(person, days.as_rated, what, key("seconds_per_day"), *by.best, working);
    }
    if (by.confident) {
        working.push_back(confident_step(plan, person, "confident time a day, " + what,
                                         {key("confident_seconds_per_day")},
                                         by.confident->a_day.count(), "s"));
    }
    if (by.poorly_seated && days.poorly_seated) {
        work_out_time(person, *days.poorly_seated, what + ", poorly seated",
                      key("seconds_per_day_poorly_seated"), *by.poorly_seated, working);
    }
    name_topics(first, {by.criterion->id}, working);
}

}  // namespace

Working working_of(const SequenceReview& review, const ReviewTerms& terms) {
    Working working;
    const Plan plan = plan_of_one(review.sequence, terms);
    const Person& person = plan.people.front();
    std::size_t place = 0;
    for (const ReviewedChoice& choice : review.choices) {
        if (!choice.undecidable.empty()) {
            place += terms.policy.criteria.size();
            continue;
        }
        const ReviewedDays days = days_of(plan, choice.wears).or_throw();
        work_out_levels(plan, person, choice.wears, days.as_rated, RowKeys::None, working);
        for (const PermittedByCriterion& by : choice.permitted)
            work_out_permitted(plan, by, days, name_of_worn(choice), place++, working);
    }
    const HearingDay bare = hear(plan, person, {}, Wearing{});
    for (const CriterionResult& peak : review.peaks)
        work_out_criterion(plan, person, bare, peak, "", working);
    return working;
}

}  // namespace earbudget
