#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <stdexcept>
#include <string>
#include <string_view>

#include <fmt/format.h>
#include <unistd.h>

#include "cli/steps.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/written_values.hpp"
#include "report/document.hpp"

namespace earbudget::cli {

void check_output(const OutputOptions& output) {
    if (output.file) files::check_can_write(*output.file, output.force);
}

void check_output_is_no_input(const OutputOptions& output, const files::ReadBefore& inputs) {
    if (output.file) files::check_is_no_input(*output.file, inputs);
    if (!output.file) files::check_standard_output({}, inputs);
}

void deliver(const std::string& made, const OutputOptions& output,
             std::vector<files::OutputFile> others) {
    const std::string report = output.format == "text" ? report::printed(made) : made;
    if (output.file) others.push_back({*output.file, report});
    files::OutputFiles files(others, output.force);
    if (!output.file) files::write_standard_output(report);
    try {
        files.move_to_places();
    } catch (const InputError& error) {
        if (output.file) throw;
        // Bad input would say that nothing was written.
        throw std::runtime_error(
            fmt::format("the report was printed and no file written: {}", error.what()));
    }
    if (!output.note.empty()) say(output.note);
}

report::Telling telling(const OutputOptions& output) {
    using Of = report::Telling::Of;
    if (output.format == "html") return {.of = Of::ShortThenWhole, .unfolded = output.detail};
    return {.of = output.detail || output.working ? Of::Whole : Of::ShortAlone};
}

std::string rendered(const report::Document& document, const OutputOptions& output) {
    if (output.format == "html") return report::as_page(document);
    const char* no_colour = std::getenv("NO_COLOR");
    const char* terminal = std::getenv("TERM");
    const bool wanted = !no_colour || std::string_view(no_colour).empty();
    const bool able = terminal && std::string_view(terminal) != "dumb";
    return report::as_text(
        document, {.colour = !output.file && wanted && able && ::isatty(STDOUT_FILENO) == 1});
}

namespace {

struct Ending {
    std::string_view ending;
    std::string_view format;
};

constexpr std::array<Ending, 5> endings = {
    {{".html", "html"}, {".htm", "html"}, {".json", "json"}, {".csv", "csv"}, {".txt", "text"}}};

constexpr std::string_view of_inputs = ".toml";

/// In small letters, with its dot; empty for none. A name of which nothing stands before the dot
/// has none, but for what would look like an input.
std::string ending_of(const std::string& file) {
    const auto name = std::filesystem::path(file).filename();
    const std::string ending = files::in_small_letters(
        name.extension().empty() ? name.string() : name.extension().string());
    return name.extension().empty() && ending != of_inputs ? "" : ending;
}

std::string_view format_of(std::string_view ending) {
    const auto* found = std::ranges::find(endings, ending, &Ending::ending);
    return found == endings.end() ? std::string_view() : found->format;
}

bool is_standard_output(const std::string& file) {
    constexpr std::array<std::string_view, 4> names = {"-", "/dev/stdout", "/dev/fd/1",
                                                       "/proc/self/fd/1"};
    return std::ranges::find(names, file) != names.end();
}

bool writes(const CommandDescription& command, std::string_view format) {
    return std::ranges::count(command.find("--format")->choices, format) > 0;
}

[[noreturn]] void refuse(const CommandDescription& command, const std::string& file,
                         const std::string& why) {
    throw UsageProblem(fmt::format("earbudget {}: --output \"{}\" {}", command.name, file, why));
}

[[noreturn]] void refuse_ending(const CommandDescription& command, const std::string& file,
                                std::string_view ending) {
    const bool pages = writes(command, "html");
    refuse(command, file,
           fmt::format("ends in {}, {}; accepted: {}.json, {}.txt or no ending{}", ending,
                       ending == of_inputs ? "which is for plans, cards and catalogues"
                                           : "which is not written",
                       pages ? ".html for a page, " : "",
                       writes(command, "csv") ? ".csv for a table, " : "",
                       ending == ".pdf" && pages ? "; a browser prints a page as PDF" : ""));
}

}  // namespace

void settle_format(const CommandDescription& command, OutputOptions& output) {
    const std::optional<std::string> stated = output.format;
    if (!stated) output.format = "text";
    if (!output.file) return;
    if (is_standard_output(*output.file)) {
        refuse(command, *output.file,
               "is standard output; accepted: leave out --output, and the report goes there");
    }
    const std::string ending = ending_of(*output.file);
    if (ending == of_inputs) refuse_ending(command, *output.file, ending);
    if (ending.empty()) return;
    const std::string_view format = format_of(ending);
    if (!stated) {
        if (!writes(command, format)) refuse_ending(command, *output.file, ending);
        output.format = format;
    } else if (format != *stated) {
        output.note = fmt::format("note: \"{}\" ends in {} and --format is {}: {} is written",
                                  *output.file, ending, *stated, *stated);
    }
}

void check_sheet(const AssessOptions& options) {
    if (!options.sheet) return;
    if (options.output.format != "html") {
        throw UsageProblem(
            fmt::format("earbudget assess: --sheet is a page and --format is {}; accepted: --sheet "
                        "with --format html",
                        *options.output.format));
    }
    if (options.against || options.output.working) {
        throw UsageProblem(
            "earbudget assess: --sheet holds neither --against nor --working; accepted: --sheet "
            "without them");
    }
}

void check_csv(const CommandDescription& command, const CommandOptions& told) {
    const OutputOptions& output = *command.output;
    const bool compares = told.assess.against || told.review.against;
    if (output.format != "csv" || (!compares && !output.working)) return;
    throw UsageProblem(
        fmt::format("earbudget {}: a table (--format csv) holds neither --against nor --working; "
                    "accepted: --format csv without them",
                    command.name));
}

}  // namespace earbudget::cli
