#pragma once

#include <string>
#include <vector>

#include "earbudget/choice/people_together.hpp"

namespace earbudget::report {

// Who is meant, where several people are spoken of at once.

/// People of whom the same is said: "p01", "p01 and p02", "p01, p02 and p03", "p01, p02 and 22
/// others".
[[nodiscard]] std::string names_of_people(const std::vector<std::string>& ids);

/// A group as its answer names it: "p01", or "p01 and 23 alike".
[[nodiscard]] std::string name_of_group(const std::vector<std::string>& ids);

/// Who else a group is, each once: "the same for p02, p03"; empty for somebody alone.
[[nodiscard]] std::string others_of_group(const std::vector<std::string>& ids);

/// The ids of a group among results with a member `person`.
template <class Result>
[[nodiscard]] std::vector<std::string> ids_of_group(const std::vector<Result>& results,
                                                    const PeopleTogether& group) {
    std::vector<std::string> ids;
    ids.reserve(group.size());
    for (const std::size_t n : group)
        ids.push_back(results[n].person->id);
    return ids;
}

/// A warning with whom it concerns in front: "for p01 and p02: …", "for everyone: …" where that is
/// all people of a plan with several; alone where it names nobody.
[[nodiscard]] std::string warning_words(const Warning& warning, std::size_t all_people);

}  // namespace earbudget::report
