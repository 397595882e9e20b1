#include "cli/deliver.hpp"

#include <cstdlib>
#include <filesystem>
#include <stdexcept>
#include <string_view>

#include <fmt/format.h>
#include <unistd.h>

#include "cli/messages.hpp"
#include "cli/record_of.hpp"
#include "earbudget/study/input_error.hpp"
#include "report/render.hpp"

namespace earbudget::cli {

void check_output(const OutputOptions& output) {
    if (output.file) files::check_can_write(*output.file, output.force);
}

void check_output_is_no_input(const OutputOptions& output, const files::ReadBefore& inputs) {
    if (output.file) files::check_is_no_input(*output.file, inputs);
    if (!output.file) files::check_standard_output({}, inputs);
}

std::string folder_of(const std::string& file) {
    const auto parent = std::filesystem::path(file).parent_path();
    return parent.empty() ? "." : parent.string();
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

std::string rendered(const report::Document& document, const OutputOptions& output) {
    if (output.format == "html") return report::as_page(document);
    const char* no_colour = std::getenv("NO_COLOR");
    const char* terminal = std::getenv("TERM");
    const bool wanted = !no_colour || std::string_view(no_colour).empty();
    const bool able = terminal && std::string_view(terminal) != "dumb";
    return report::as_text(
        document, {.colour = !output.file && wanted && able && ::isatty(STDOUT_FILENO) == 1});
}

}  // namespace earbudget::cli
