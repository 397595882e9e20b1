#pragma once

#include <memory>

#include "cli/options.hpp"

namespace CLI {
class App;
}

namespace earbudget::cli {

/// What each command was told; the command line fills that of the one it names.
struct CommandOptions {
    MeasureOptions measure;
    AssessOptions assess;
    ChooseOptions choose;
    RatingsOptions ratings;
    ReviewOptions review;
};

/// Every command with its options, which a command line that is parsed fills. The options must live
/// as long.
[[nodiscard]] std::unique_ptr<CLI::App> command_line(CommandOptions& options);

}  // namespace earbudget::cli
