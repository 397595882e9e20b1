#pragma once

#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"

namespace earbudget::report {

/// What of a working is asked for: everything, or what is about these ids.
struct WorkingFor {
    std::vector<std::string> people = {};  ///< ids that are those of people alone; of a review's
                                           ///< sequences
    std::vector<std::string> topics = {};  ///< of sequences and criteria alone
    std::vector<std::string> both = {};    ///< of a person and of a sequence or criterion

    /// Sorts ids into these; the ids of people and of topics are those that there are.
    [[nodiscard]] static WorkingFor of(const std::vector<std::string>& ids,
                                       const std::vector<std::string>& people,
                                       const std::vector<std::string>& topics);

    /// Whether a person is asked for by id.
    [[nodiscard]] bool names(const std::string& person) const;

    /// Whether anything of a person's working may be asked for.
    [[nodiscard]] bool wants(const std::string& person) const;

    /// The steps that are asked for: those of people who are named, where any are, about what is
    /// named, where anything is; an id that is both counts as either.
    [[nodiscard]] Working of_person(const std::string& person, const Working& working) const;
};

}  // namespace earbudget::report
