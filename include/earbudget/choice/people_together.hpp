#pragma once

#include <cstddef>
#include <vector>

#include "earbudget/day/exposure_day.hpp"
#include "earbudget/study/plan.hpp"

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

}  // namespace earbudget
