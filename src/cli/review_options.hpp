#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/options.hpp"

namespace CLI {
class App;
}

namespace earbudget::cli {

/// The entries of a list on the command line, given once or several times: parted by commas, but
/// not within double quotes, of which two stand for one: '"Adult, plugs",x'. Blanks around entries
/// do not count. Throws UsageProblem where a quote does not end or an entry is empty; `option`
/// begins the message: "earbudget review: --criteria".
[[nodiscard]] std::vector<std::string> entries_of(const std::vector<std::string>& given,
                                                  std::string_view option);

/// Adds the command `review` with its own options, without those on its output.
CLI::App* add_review(CLI::App& program, ReviewOptions& options);

}  // namespace earbudget::cli
