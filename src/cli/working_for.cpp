#include "cli/working_for.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "cli/messages.hpp"
#include "files/ids.hpp"

namespace earbudget::cli {

namespace {

using Ids = std::vector<std::string>;

void add_once(const std::string& id, Ids& ids) {
    if (std::ranges::find(ids, id) == ids.end()) ids.push_back(id);
}

/// "person a, b".
std::string listed(const char* kind, const Ids& ids) {
    return ids.empty() ? "" : fmt::format("; {} {}", kind, fmt::join(ids, ", "));
}

void check(const std::string& command, const std::string& id, const Ids& people,
           const Ids& criteria, const Ids& sequences) {
    Ids all;
    for (const Ids* some : {&people, &criteria, &sequences})
        all.insert(all.end(), some->begin(), some->end());
    if (std::ranges::find(all, id) != all.end()) return;
    const auto nearest = files::nearest_name(id, all);
    const std::string accepted =
        listed("person", people) + listed("criterion", criteria) + listed("sequence", sequences);
    throw UsageProblem(fmt::format(
        "earbudget {}: --working-for \"{}\" is none of the ids here{}; accepted: {}", command, id,
        nearest ? fmt::format(", the nearest known is \"{}\"", *nearest) : "",
        accepted.empty() ? "" : accepted.substr(2)));
}

}  // namespace

report::WorkingFor working_for(const std::string& command, const OutputOptions& output,
                               const Plan& plan) {
    Ids people;
    Ids criteria;
    Ids sequences;
    for (const Person& person : plan.people) {
        people.push_back(person.id);
        for (const Criterion& criterion : person.policy.criteria)
            add_once(criterion.id, criteria);
    }
    for (const Sequence& sequence : plan.sequences)
        sequences.push_back(sequence.id);
    for (const std::string& id : output.working_for)
        check(command, id, people, criteria, sequences);
    Ids topics = criteria;
    topics.insert(topics.end(), sequences.begin(), sequences.end());
    return report::WorkingFor::of(output.working_for, people, topics);
}

report::WorkingFor working_for_review(const OutputOptions& output, const Ids& sequences,
                                      const std::vector<Criterion>& all) {
    Ids criteria;
    for (const Criterion& criterion : all)
        add_once(criterion.id, criteria);
    for (const std::string& id : output.working_for)
        check("review", id, {}, criteria, sequences);
    // Each sequence has a working of its own, as each person of a plan has.
    return report::WorkingFor::of(output.working_for, sequences, criteria);
}

}  // namespace earbudget::cli
