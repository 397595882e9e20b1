#pragma once

namespace earbudget::cli {

/// What the program's exit status says.
enum ExitStatus : int {
    computed = 0,         ///< and nobody over a limit
    over_or_unknown = 1,  ///< computed: somebody is over a limit, or it cannot be decided
    bad_input = 2,        ///< or bad usage; nothing was written
    fault = 3             ///< of the program or the machine
};

}  // namespace earbudget::cli
