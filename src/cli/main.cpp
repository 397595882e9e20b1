#include <cstdio>
#include <exception>
#include <string>

#include "cli/command_line.hpp"
#include "cli/commands.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/output.hpp"

namespace {

using namespace earbudget;

// File names and keys come from outside: nothing of theirs may break the line.
void say(std::string message) {
    for (char& c : message) {
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = '?';
    }
    std::fprintf(stderr, "%s\n", message.c_str());
}

cli::ExitStatus run(const cli::CommandLine& command_line) {
    if (const auto* measure = std::get_if<cli::MeasureOptions>(&command_line)) {
        return cli::run_measure(*measure);
    }
    if (const auto* assess = std::get_if<cli::AssessOptions>(&command_line)) {
        return cli::run_assess(*assess);
    }
    if (const auto* error = std::get_if<cli::UsageError>(&command_line)) {
        say(error->message);
        return cli::bad_input;
    }
    files::write_standard_output(std::get<cli::Information>(command_line).text);
    return cli::computed;
}

}  // namespace

int main(int count, char** arguments) {
    try {
        return run(cli::parse_command_line(count, arguments));
    } catch (const InputError& error) {
        say(error.what());
        return cli::bad_input;
    } catch (const std::exception& error) {
        say(std::string("earbudget: ") + error.what());
    } catch (...) {
        say("earbudget: unknown fault");
    }
    return cli::fault;
}
