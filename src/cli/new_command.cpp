#include <filesystem>
#include <string>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/output.hpp"
#include "files/written_values.hpp"
#include "starting/drafted_study.hpp"
#include "starting/scans_of_study.hpp"
#include "starting/started_study.hpp"

namespace earbudget::cli {

namespace {

/// The title of a study: what its folder is called.
std::string title_of(const std::string& folder) {
    std::error_code ignored;
    std::filesystem::path path = std::filesystem::absolute(folder, ignored).lexically_normal();
    if (path.filename().empty()) path = path.parent_path();
    const std::string name = visible_text(path.filename().string());
    return name.empty() ? "New study" : name;
}

starting::DraftedStudy drafted(const NewOptions& options, files::TextInputs& inputs) {
    starting::DraftedStudy study{.title = title_of(options.folder)};
    files::ErrorList errors;
    tables::UnitTables read;
    for (const std::string& path : options.tables)
        errors.attempt([&] { tables::read_table(path, inputs, read, errors); });
    starting::add_tables(read, study, errors);
    if (options.bids) {
        errors.attempt([&] { starting::add_scans(*options.bids, options.match, inputs, study); });
    }
    errors.throw_if_any();
    starting::add_examples(study);
    return study;
}

/// What answers at once: the plan, or all of several; and the study of visits.
std::vector<std::string> to_be_assessed(const starting::StartedStudy& started) {
    const auto in_folder = [&](const std::string& name) {
        return (std::filesystem::path(started.folder) / name).string();
    };
    std::vector<std::string> paths = {started.study.plans.size() == 1
                                          ? in_folder(std::string(starting::name_of_plan))
                                          : started.folder};
    if (started.study.visits.size() == 1)
        paths.push_back(in_folder(started.study.visits.front().name));
    return paths;
}

std::string words_of(const starting::StartedStudy& started) {
    const std::string plan =
        (std::filesystem::path(started.folder) / starting::name_of_plan).string();
    std::string text = fmt::format("Written, in the folder {}:\n", visible_text(started.folder));
    for (const files::OutputFile& file : started.files)
        text += fmt::format("  {}\n", file.path);
    if (!started.study.notes.empty()) text += "\nTo know:\n";
    for (const std::string& note : started.study.notes)
        text += fmt::format("- {}\n", visible_text(note));
    text +=
        "\nWhat is marked \"invented\", and every file with a line \"examples = true\", holds "
        "examples to\nreplace: no level in them was measured, and no protector in them exists. "
        "Answers say so in their\nfirst line until you have put your own figures in and deleted "
        "that line in each file.\n\nNow type:\n";
    for (const std::string& path : to_be_assessed(started))
        text += fmt::format("  earbudget assess {}\n", files::as_typed(path));
    return text + fmt::format("  earbudget choose {}\n", files::as_typed(plan));
}

}  // namespace

ExitStatus run_new(const NewOptions& options) {
    if (options.match && !options.bids) {
        throw UsageProblem(
            "earbudget new: --match needs --bids; accepted: --bids FOLDER --match FILE");
    }
    starting::refuse_existing(options.folder);
    files::TextInputs inputs;
    starting::StartedStudy started{.folder = options.folder, .study = drafted(options, inputs)};
    started.files = starting::files_of(started.study);
    started.record = record_of(options.output, inputs.names(), inputs);
    const std::string answer =
        options.output.format == "json" ? starting::started_json(started) : words_of(started);
    starting::write_study(options.folder, started.files);
    files::write_standard_output(answer);
    return computed;
}

}  // namespace earbudget::cli
