#pragma once

#include <memory>
#include <string>

#include "earbudget/decision/work_meter.hpp"
#include "earbudget/decision/work_size.hpp"
#include "earbudget/study/input_error.hpp"
#include "report/report_size.hpp"

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

[[nodiscard]] std::string words_of_too_large_report(const WorkSize& size);

/// Refuses what is too much by its size, at the file that asks for it; else does the work, counted
/// and with its progress shown, and refuses it when it turns out to be too much.
template <class Work>
auto watched(const WorkSize& size, const std::string& file, const Work& work) {
    refuse_too_much(size, file);
    WorkMeter meter(most_seconds_counted);
    const Progress progress(meter, size);
    const WorkMeter::Counting counting(&meter);
    try {
        return work();
    } catch (const TooMuchWork&) {
        throw InputError({file}, words_of_too_much_counted(size));
    } catch (const report::ReportTooLarge&) {
        throw InputError({file}, words_of_too_large_report(size));
    }
}

}  // namespace earbudget::cli
