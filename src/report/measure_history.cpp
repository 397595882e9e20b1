#include <fmt/format.h>

#include "report/csv_field.hpp"
#include "report/measure_report.hpp"

namespace earbudget::report {

std::string measure_history(const std::vector<RecordingReport>& recordings) {
    std::string text = "file,channel,start_s,seconds,LAeq_dB\r\n";
    for (const RecordingReport& recording : recordings) {
        const std::string file = csv_file_name(recording.file.path);
        const double from = recording.from.value_or(Seconds(0.0)).count();
        for (const MeasuredChannel& channel : recording.measured.channels) {
            const auto& seconds = channel.levels.seconds;
            for (std::size_t n = 0; n < seconds.size(); ++n) {
                const bool last = n + 1 == seconds.size();
                const double length = last ? channel.levels.last_second.count() : 1.0;
                const std::string level =
                    seconds[n] ? csv_number(seconds[n]->dB(), 3) : std::string();
                text += fmt::format("{},{},{:.10g},{:.10g},{}\r\n", file, channel.number,
                                    from + static_cast<double>(n), length, level);
            }
        }
    }
    return text;
}

}  // namespace earbudget::report
