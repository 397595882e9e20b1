#include <csignal>
#include <exception>
#include <string>

#include "cli/commands.hpp"
#include "cli/messages.hpp"
#include "cli/parse_command_line.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/output.hpp"

namespace {

using namespace earbudget;

cli::ExitStatus run(const cli::CommandLine& command_line) {
    if (const auto* measure = std::get_if<cli::MeasureOptions>(&command_line)) {
        return cli::run_measure(*measure);
    }
    if (const auto* assess = std::get_if<cli::AssessOptions>(&command_line)) {
        return cli::run_assess(*assess);
    }
    if (const auto* choose = std::get_if<cli::ChooseOptions>(&command_line)) {
        return cli::run_choose(*choose);
    }
    if (const auto* ratings = std::get_if<cli::RatingsOptions>(&command_line)) {
        return cli::run_ratings(*ratings);
    }
    if (const auto* review = std::get_if<cli::ReviewOptions>(&command_line)) {
        return cli::run_review(*review);
    }
    files::write_standard_output(std::get<cli::Information>(command_line).text);
    return cli::computed;
}

}  // namespace

int main(int count, char** arguments) {
    // A closed pipe is an error of writing like any other, not a silent end.
    std::signal(SIGPIPE, SIG_IGN);
    try {
        return run(cli::parse_command_line(count, arguments));
    } catch (const InputError& error) {
        cli::say(error.what());
        return cli::bad_input;
    } catch (const cli::UsageProblem& problem) {
        cli::say(problem.what());
        return cli::bad_input;
    } catch (const std::exception& error) {
        cli::say(std::string("earbudget: ") + error.what());
    } catch (...) {
        cli::say("earbudget: unknown fault");
    }
    return cli::fault;
}
