#include "answers/record_of.hpp"

#include <algorithm>

#include "earbudget/computing/add_once.hpp"
#include "files/open_file.hpp"

namespace earbudget::answers {

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

report::Record record_of(const std::string& date, const std::vector<std::string>& paths,
                         const files::TextInputs& inputs) {
    report::Record record{.date = date, .inputs = {}};
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

}  // namespace earbudget::answers
