#include <filesystem>
#include <string>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/output.hpp"
#include "files/written_values.hpp"
#include "starting/drafted_study.hpp"
#include "starting/scans_of_study.hpp"

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

starting::DraftedStudy drafted(const NewOptions& options) {
    starting::DraftedStudy study{.title = title_of(options.folder)};
    files::TextInputs inputs;
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

std::string words_of(const std::string& folder, const std::vector<files::OutputFile>& files,
                     const starting::DraftedStudy& study) {
    const std::string plan = (std::filesystem::path(folder) / starting::name_of_plan).string();
    std::string text = fmt::format("Written, in the folder {}:\n", visible_text(folder));
    for (const files::OutputFile& file : files)
        text += fmt::format("  {}\n", file.path);
    if (!study.notes.empty()) text += "\nTo know:\n";
    for (const std::string& note : study.notes)
        text += fmt::format("- {}\n", visible_text(note));
    text += fmt::format(
        "\nWhat is marked \"invented\", and every file with a line \"examples = true\", holds "
        "examples to\nreplace: no level in them was measured, and no protector in them exists. "
        "Answers say so in their\nfirst line until you have put your own figures in and deleted "
        "that line in each file.\n\nNow type:\n  earbudget assess {0}\n  earbudget choose {0}\n",
        files::as_typed(plan));
    return text;
}

}  // namespace

ExitStatus run_new(const NewOptions& options) {
    if (options.match && !options.bids) {
        throw UsageProblem(
            "earbudget new: --match needs --bids; accepted: --bids FOLDER --match FILE");
    }
    starting::refuse_existing(options.folder);
    const starting::DraftedStudy study = drafted(options);
    const std::vector<files::OutputFile> files = starting::files_of(study);
    starting::write_study(options.folder, files);
    files::write_standard_output(words_of(options.folder, files, study));
    return computed;
}

}  // namespace earbudget::cli
