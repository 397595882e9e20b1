#include <algorithm>
#include <chrono>
#include <cmath>
#include <condition_variable>
#include <mutex>
#include <system_error>
#include <thread>

#include <fmt/format.h>
#include <unistd.h>

#include "cli/steps.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/study/input_error.hpp"
#include "report/json_text.hpp"
#include "report/words/words.hpp"

namespace earbudget::cli {

namespace {

using namespace std::chrono_literals;

constexpr auto not_before = 2s;
constexpr auto between = 300ms;

std::string words_of_too_large_report(const WorkSize& size) {
    return fmt::format(
        "{}: a report of more than {} MiB; accepted: at most that, for example of half as many "
        "people, rows, protectors or criteria",
        text_of(size.factors), report::largest_report >> 20U);
}

/// While it lives, the line on standard error; at the end it is gone. It must end before anything
/// is written: an interrupt then waits for this thread alone (InterruptsWait).
class Progress {
  public:
    /// The seconds that the work was estimated at are told by `size`.
    Progress(const WorkMeter& meter, const WorkSize& size) {
        if (::isatty(STDERR_FILENO) != 1) return;
        try {
            thread_ = std::jthread(
                [this, &meter, size](const std::stop_token& end) { watch(end, meter, size); });
        } catch (const std::system_error&) {
            // No thread to be had: no progress is shown.
        }
    }
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

  private:
    void watch(const std::stop_token& end, const WorkMeter& meter, const WorkSize& size) {
        std::unique_lock lock(mutex_);
        bool shown = false;
        auto wait = std::chrono::milliseconds(not_before);
        while (!sleeping_.wait_for(lock, end, wait, [&] { return end.stop_requested(); })) {
            // Work that turns out longer than its size tells ends when it is too much.
            const double all = meter.done() > size.seconds ? most_seconds_counted : size.seconds;
            say_passing(
                fmt::format("computing, {:.0f} % of at most {:.0f} s of work done (Ctrl-C ends it)",
                            100.0 * meter.done() / std::max(all, 1e-3), std::ceil(all)));
            shown = true;
            wait = between;
        }
        if (shown) say_passing("");
    }

    std::mutex mutex_ = {};
    std::condition_variable_any sleeping_ = {};
    std::jthread thread_ = {};
};

}  // namespace

ReportAsked report_asked(const OutputOptions& output) {
    using Form = ReportAsked::Form;
    const Form form = output.format == "json" || output.format == "csv" ? Form::Json
                      : output.format == "html"                         ? Form::Page
                                                                        : Form::Text;
    return {.form = form, .working = output.working && output.working_for.empty()};
}

double most_report() { return static_cast<double>(report::largest_report); }

bool is_read(const OutputOptions& output) {
    return output.format == "text" || output.format == "html";
}

std::string watched(const WorkSize& size, const std::string& file,
                    const std::function<std::string()>& less,
                    const std::function<std::string()>& make) {
    if (part_of_accepted(size, most_report()) > 1.0) {
        throw InputError({file},
                         fmt::format("{}, {}", text_of(too_much(size, most_report())), less()));
    }
    WorkMeter meter(most_seconds_counted);
    const Progress progress(meter, size);
    const WorkMeter::Counting counting(&meter);
    try {
        std::string text = make();
        report::check_size(text);
        return text;
    } catch (const TooMuchWork&) {
        throw InputError({file}, text_of(too_much_counted(size)));
    } catch (const report::ReportTooLarge&) {
        throw InputError({file}, words_of_too_large_report(size));
    }
}

}  // namespace earbudget::cli
