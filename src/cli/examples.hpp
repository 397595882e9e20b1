#pragma once

#include <string_view>

namespace earbudget::cli {

// What each command's help ends with: an example that works on the demo, and the exit
// status. Each line of an example that does not end in a backslash is a command.

inline constexpr std::string_view program_example = R"(
Example, in the folder of the source or the installed share/earbudget/demo:
  earbudget measure recordings/epi-2mm.flac --calibration recordings/calibrator.flac \
      --calibrator-level 114
  earbudget assess sequences/saltmarsh/plan.toml

earbudget help COMMAND tells the options of each command, with an example of its own.

Exit status: 0 computed, nobody over a limit, 1 computed, somebody over a limit or not decidable,
2 bad input, 3 a fault of the program or the machine.
)";

inline constexpr std::string_view measure_example = R"(
Example, in the folder of the source or the installed share/earbudget/demo:
  earbudget measure recordings/epi-2mm.flac --calibration recordings/calibrator.flac \
      --calibrator-level 114 --background recordings/background.flac --card epi-2mm.toml

Exit status: 0 measured, 1 there is no level: the calibration is no tone or drifted, a file holds
more than its header announces, silence, or out of range (with --card 2), 2 bad input, 3 a fault
of the program or the machine.
)";

inline constexpr std::string_view assess_example = R"(
Example, in the folder of the source or the installed share/earbudget/demo:
  earbudget assess sequences/saltmarsh/plan.toml

Exit status: 0 nobody over a limit, 1 somebody over a limit or not decidable, 2 bad input,
3 a fault of the program or the machine.
)";

inline constexpr std::string_view choose_example = R"(
Example, in the folder of the source or the installed share/earbudget/demo:
  earbudget choose sequences/saltmarsh/plan.toml

Exit status: 0 everybody has something that keeps every exposure limit, 1 somebody has not, cannot
be decided or hears a peak above its limit, 2 bad input, 3 a fault of the program or the machine.
)";

inline constexpr std::string_view ratings_example = R"(
Example, in the folder of the source or the installed share/earbudget/demo:
  earbudget ratings sequences/saltmarsh/protectors.toml

Exit status: 0 nothing stated is more than 2 dB from what is computed, 1 something is,
2 bad input, 3 a fault of the program or the machine.
)";

inline constexpr std::string_view review_example = R"(
Example, in the folder of the source or the installed share/earbudget/demo:
  earbudget review sequences/saltmarsh/cards/epi-2mm.toml \
      --protectors sequences/saltmarsh/protectors.toml

Exit status: 0 for every card the peak limits are kept and something permits the time of --at-least
by every criterion, 1 for some card not, or it cannot be decided, 2 bad input, 3 a fault of the
program or the machine.
)";

}  // namespace earbudget::cli
