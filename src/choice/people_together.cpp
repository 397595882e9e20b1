#include "earbudget/choice/people_together.hpp"

#include <algorithm>
#include <map>
#include <string>
#include <utility>

#include "choice/people_alike.hpp"

namespace earbudget {

std::vector<PeopleTogether> people_together(const std::vector<const Person*>& people) {
    std::vector<PeopleTogether> groups;
    for (std::size_t n = 0; n < people.size(); ++n) {
        const auto known =
            groups.begin() + static_cast<std::ptrdiff_t>(std::min(groups.size(), most_kinds));
        const auto same = std::find_if(groups.begin(), known, [&](const PeopleTogether& group) {
            return are_alike(*people[group.front()], *people[n]);
        });
        if (same == known) {
            groups.push_back({n});
        } else {
            same->push_back(n);
        }
    }
    return groups;
}

std::vector<Warning> said_once(const std::vector<Warning>& warnings) {
    std::vector<Warning> once;
    std::map<Message, std::size_t> places;
    for (const Warning& warning : warnings) {
        const auto [known, is_new] = places.try_emplace(warning.says, once.size());
        if (is_new) {
            once.push_back(warning);
            continue;
        }
        auto& people = once[known->second].people;
        people.insert(people.end(), warning.people.begin(), warning.people.end());
    }
    return once;
}

}  // namespace earbudget
