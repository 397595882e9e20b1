#pragma once

#include "cli/options.hpp"

namespace CLI {
class App;
}

namespace earbudget::cli {

/// Adds the command `review` with its own options, without those on its output.
CLI::App* add_review(CLI::App& program, ReviewOptions& options);

}  // namespace earbudget::cli
