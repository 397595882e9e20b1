#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "cli/steps.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/study/card_age.hpp"
#include "files/ids.hpp"
#include "report/text_style.hpp"

namespace earbudget::cli {

answers::When when_of(const OutputOptions& output) {
    return {output.date.value_or(today()), output.seed_of_draws()};
}

void settle_plan(Plan& plan, const OutputOptions& output) {
    answers::settle(plan, when_of(output));
}

report::Record record_of(const OutputOptions& output, const std::vector<std::string>& paths,
                         const files::TextInputs& inputs) {
    report::Record record =
        answers::record_of(output.date.value_or(earbudget::today()), paths, inputs);
    record.with_working = output.working;
    return record;
}

namespace {

using Ids = std::vector<std::string>;

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
    const std::string accepted =
        listed("person", people) + listed("criterion", criteria) + listed("sequence", sequences);
    throw UsageProblem(fmt::format(
        "earbudget {}: --working-for \"{}\" is none of the ids here{}; accepted: {}", command, id,
        files::nearest_words(id, all), accepted.empty() ? "" : accepted.substr(2)));
}

}  // namespace

report::WorkingFor working_for(const std::string& command, const OutputOptions& output,
                               const Plan& plan) {
    const Ids people = files::ids_of(plan.people);
    Ids criteria;
    const Ids sequences = files::ids_of(plan.sequences);
    for (const Person& person : plan.people) {
        for (const Criterion& criterion : person.policy.criteria)
            add_once(criterion.id, criteria);
    }
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
