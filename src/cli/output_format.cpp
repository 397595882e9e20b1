#include "cli/output_format.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "cli/messages.hpp"

namespace earbudget::cli {

namespace {

struct Ending {
    std::string_view ending;
    std::string_view format;  ///< empty: none that is written
};

constexpr std::array<Ending, 10> endings = {{{".html", "html"},
                                             {".htm", "html"},
                                             {".json", "json"},
                                             {".txt", "text"},
                                             {".csv", ""},
                                             {".pdf", ""},
                                             {".xlsx", ""},
                                             {".xls", ""},
                                             {".docx", ""},
                                             {".doc", ""}}};

const Ending* ending_of(const std::string& file) {
    std::string ending = std::filesystem::path(file).extension().string();
    for (char& c : ending)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    const auto* found = std::ranges::find(endings, ending, &Ending::ending);
    return found == endings.end() ? nullptr : found;
}

/// As --format checks it.
bool writes(const CLI::App& command, std::string_view format) {
    return !format.empty() &&
           command.get_option("--format")->get_type_name().find(format) != std::string::npos;
}

}  // namespace

void settle_format(const CLI::App& command, OutputOptions& output) {
    const Ending* ending = output.file ? ending_of(*output.file) : nullptr;
    if (!ending) return;
    if (command.get_option("--format")->count() > 0) {
        if (ending->format == output.format) return;
        output.note = fmt::format("note: \"{}\" ends in {} and --format is {}: {} is written",
                                  *output.file, ending->ending, output.format, output.format);
        return;
    }
    if (writes(command, ending->format)) {
        output.format = ending->format;
        return;
    }
    const bool pages = writes(command, "html");
    throw UsageProblem(fmt::format(
        "earbudget {}: --output \"{}\" ends in {}, which is not written; accepted: {}.json or "
        ".txt{}",
        command.get_name(), *output.file, ending->ending, pages ? ".html for a page, " : "",
        ending->ending == ".pdf" && pages ? "; a browser prints a page as PDF" : ""));
}

}  // namespace earbudget::cli
