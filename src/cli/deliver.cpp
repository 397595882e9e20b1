#include "cli/deliver.hpp"

#include <cstdlib>
#include <string_view>

#include <unistd.h>

#include "cli/messages.hpp"
#include "cli/record_of.hpp"

namespace earbudget::cli {

void check_output(const OutputOptions& output) {
    static_cast<void>(report_date(output));
    if (output.file) files::check_can_write(*output.file, output.force);
}

void check_output_is_no_input(const OutputOptions& output, const std::vector<std::string>& inputs) {
    if (output.file) files::check_is_no_input(*output.file, inputs);
}

void deliver(const std::string& made, const OutputOptions& output,
             std::vector<files::OutputFile> others) {
    const std::string report = output.format == "text" ? report::printed(made) : made;
    if (output.file) others.push_back({*output.file, report});
    files::write_files(others, output.force);
    if (!output.file) files::write_standard_output(report);
    if (!output.note.empty()) say(output.note);
}

report::TextStyle text_style_for(const OutputOptions& output) {
    const char* no_colour = std::getenv("NO_COLOR");
    const char* terminal = std::getenv("TERM");
    const bool wanted = !no_colour || std::string_view(no_colour).empty();
    const bool able = terminal && std::string_view(terminal) != "dumb";
    return {.colour = !output.file && wanted && able && ::isatty(STDOUT_FILENO) == 1};
}

}  // namespace earbudget::cli
