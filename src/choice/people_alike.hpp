#pragma once

#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "earbudget/computing/for_each_at_once.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/study/result.hpp"

namespace earbudget {

/// People of a plan who differ in nothing but their ids and where they are stated, so that one
/// answer, found for a stand-in, holds for all of them.
struct PeopleAlike {
    Person stand_in;
    std::vector<std::size_t> people;  ///< indices into the plan's, ascending; never empty
};

/// People of more kinds than these are not looked through for each person.
inline constexpr std::size_t most_kinds = 64;

/// Whether two people differ in nothing but their ids and where they and their tasks are stated.
[[nodiscard]] bool are_alike(const Person& one, const Person& other);

/// Everyone of a plan in groups, in the order of each group's first. People with tasks, and those
/// of rare kinds in a plan of very many kinds, stand alone. Somebody alone is the stand-in.
[[nodiscard]] std::vector<PeopleAlike> people_alike(const std::vector<Person>& people);

/// What was found for a stand-in as found for somebody of the group: ids in texts, places in files
/// and what points into a person. The person must outlive the result.
[[nodiscard]] PersonResult as_found_for(const Person& person, const Person& stand_in,
                                        PersonResult result);
[[nodiscard]] std::vector<Warning> as_found_for(const Person& person, const Person& stand_in,
                                                std::vector<Warning> warnings);
[[nodiscard]] PersonChoice as_found_for(const Person& person, const Person& stand_in,
                                        PersonChoice choice);

/// What `answer` makes of everyone, in order, with as many at work at once as there are cores;
/// people alike are answered for once. It makes a Result: the first obstacle of all is thrown.
/// There must be an as_found_for for its value.
template <class Answer>
auto answer_for_everyone(const std::vector<Person>& people, const Answer& answer) {
    const auto groups = people_alike(people);
    auto answers = for_each_at_once(groups, [&](const PeopleAlike& group) {
        const Person& first = people[group.people.front()];
        if (group.people.size() == 1) return answer(first).or_throw();
        auto of_all = answer(group.stand_in);
        // Fails likewise, with an id and a place that the user knows.
        if (!of_all) of_all = answer(first);
        return std::move(of_all).or_throw();
    });
    using Found = typename decltype(answers)::value_type;
    std::vector<std::optional<Found>> found(people.size());
    for (std::size_t n = 0; n < groups.size(); ++n) {
        const bool alone = groups[n].people.size() == 1;
        for (const std::size_t person : groups[n].people) {
            found[person] = alone ? std::move(answers[n])
                                  : as_found_for(people[person], groups[n].stand_in, answers[n]);
        }
    }
    std::vector<Found> all;
    all.reserve(found.size());
    for (auto& one : found)
        all.push_back(*std::move(one));
    return all;
}

}  // namespace earbudget
