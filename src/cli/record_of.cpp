#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "cli/steps.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/study/card_age.hpp"
#include "files/ids.hpp"
#include "files/open_file.hpp"
#include "report/text_style.hpp"

namespace earbudget::cli {

namespace {

/// Of what all files hold, whatever they are named and in which order they were read.
std::string fingerprint_of(const std::vector<report::SourceFile>& inputs) {
    std::vector<std::string> sums;
    for (const report::SourceFile& file : inputs)
        sums.push_back(file.sha256);
    std::ranges::sort(sums);
    std::string lines;
    for (const std::string& sum : sums)
        lines += sum + "\n";
    return files::sha256_of_text(lines);
}

}  // namespace

void settle_plan(Plan& plan, const OutputOptions& output) {
    plan.draws.seed = output.seed_of_draws();
    plan.date = output.date.value_or(today());
}

report::Record record_of(const OutputOptions& output, const std::vector<std::string>& paths,
                         const files::TextInputs& inputs) {
    report::Record record{.date = output.date ? *output.date : earbudget::today(), .inputs = {}};
    record.with_working = output.working;
    add_inputs(record, paths, inputs);
    return record;
}

void add_input(report::Record& record, report::SourceFile file) {
    const bool known = std::ranges::any_of(
        record.inputs, [&](const report::SourceFile& other) { return other.path == file.path; });
    if (!known) record.inputs.push_back(std::move(file));
    record.fingerprint = fingerprint_of(record.inputs);
}

void add_inputs(report::Record& record, const std::vector<std::string>& paths,
                const files::TextInputs& inputs) {
    for (const std::string& path : paths) {
        const std::string& name = inputs.first_name(path);
        const bool known = std::ranges::any_of(
            record.inputs, [&](const report::SourceFile& other) { return other.path == name; });
        if (!known) record.inputs.push_back({name, inputs.sha256(path)});
    }
    record.fingerprint = fingerprint_of(record.inputs);
}

void add_examples(report::Record& record, const std::vector<std::string>& paths,
                  const files::TextInputs& inputs) {
    for (const std::string& path : paths)
        if (inputs.is_example(path)) add_once(inputs.first_name(path), record.examples);
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
