#pragma once

#include <functional>
#include <memory>
#include <string>

#include "cli/options.hpp"
#include "earbudget/choice/work_size.hpp"
#include "earbudget/computing/work_meter.hpp"

namespace earbudget::cli {

/// While it lives, a line on standard error tells how far the work has come, where that is a
/// terminal and the work lasts longer than two seconds; at the end the line is gone. It must end
/// before anything is written: an interrupt then waits for this thread alone (InterruptsWait).
class Progress {
  public:
    /// The seconds that the work was estimated at are told by `size`.
    Progress(const WorkMeter& meter, const WorkSize& size);
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;
    ~Progress();

  private:
    struct Line;
    std::unique_ptr<Line> line_;
};

/// Refuses what is too much by its size, at the file that asks for it, with what would do as `less`
/// tells it; else makes the report, counted and with its progress shown, and refuses it when it
/// turns out to be too much, or too large (InputError).
[[nodiscard]] std::string watched(const WorkSize& size, const std::string& file,
                                  const std::function<std::string()>& less,
                                  const std::function<std::string()>& make);

/// How the report will be written; `working` only where all of it is asked for.
[[nodiscard]] ReportAsked report_asked(const OutputOptions& output);

/// What a report may have, in bytes.
[[nodiscard]] double most_report();

}  // namespace earbudget::cli
