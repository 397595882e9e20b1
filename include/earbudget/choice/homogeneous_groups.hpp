#pragma once

#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "earbudget/computing/for_each_at_once.hpp"
#include "earbudget/day/exposure_day.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/study/plan.hpp"
#include "earbudget/study/result.hpp"

namespace earbudget {

/// Places of people in a list, ascending; never empty.
using PeopleTogether = std::vector<std::size_t>;

/// People who differ in nothing but their ids and where they are stated, tasks and all, so that
/// whatever is found for one is found for each: who is spoken of together. In the order of each
/// group's first; everyone is in one group. In a list of very many kinds those of rare kinds stand
/// alone.
[[nodiscard]] std::vector<PeopleTogether> people_together(const std::vector<const Person*>& people);

/// The same of what an assessment or a choice says of people: of anything with a member `person`.
template <class Result>
[[nodiscard]] std::vector<PeopleTogether> people_together(const std::vector<Result>& results) {
    std::vector<const Person*> people;
    people.reserve(results.size());
    for (const Result& result : results)
        people.push_back(result.person);
    return people_together(people);
}

/// Warnings with the same words once, with everyone whom they concern and the place of the first.
[[nodiscard]] std::vector<Warning> said_once(const std::vector<Warning>& warnings);

/// People of a plan who differ in nothing but their ids and where they are stated, so that one
/// answer, found for the first, holds for all of them: indices into the plan's, ascending; never
/// empty.
using PeopleAlike = std::vector<std::size_t>;

/// People of more kinds than these are not looked through for each person.
inline constexpr std::size_t most_kinds = 64;

/// Whether two people differ in nothing but their ids and where they and their tasks are stated.
[[nodiscard]] bool are_alike(const Person& one, const Person& other);

/// Everyone of a plan in groups, in the order of each group's first. People with tasks, and those
/// of rare kinds in a plan of very many kinds, stand alone.
[[nodiscard]] std::vector<PeopleAlike> homogeneous_groups(const std::vector<Person>& people);

/// What was found for the first of a group as found for somebody else of it: ids, places in files
/// and what points into a person. The person must outlive the result.
[[nodiscard]] PersonResult as_found_for(const Person& person, const Person& first,
                                        PersonResult result);
[[nodiscard]] std::vector<Warning> as_found_for(const Person& person, const Person& first,
                                                std::vector<Warning> warnings);
[[nodiscard]] PersonChoice as_found_for(const Person& person, const Person& first,
                                        PersonChoice choice);

/// What `answer` makes of everyone, in order, with as many at work at once as there are cores;
/// people alike are answered for once. It makes a Result: the first obstacle of all is thrown.
/// There must be an as_found_for for its value.
template <class Answer>
auto answer_for_everyone(const std::vector<Person>& people, const Answer& answer) {
    const auto groups = homogeneous_groups(people);
    auto answers = for_each_at_once(
        groups, [&](const PeopleAlike& group) { return answer(people[group.front()]).or_throw(); });
    using Found = typename decltype(answers)::value_type;
    std::vector<std::optional<Found>> found(people.size());
    for (std::size_t n = 0; n < groups.size(); ++n) {
        const std::size_t first = groups[n].front();
        for (const std::size_t person : groups[n]) {
            if (person == first) continue;
            found[person] = as_found_for(people[person], people[first], answers[n]);
        }
        found[first] = std::move(answers[n]);
    }
    std::vector<Found> all;
    all.reserve(found.size());
    for (auto& one : found)
        all.push_back(*std::move(one));
    return all;
}

}  // namespace earbudget
