#include "report/measure_history.hpp"

#include <fmt/format.h>

namespace earbudget::report {

namespace {

/// Quoted where it must be; a quote within is doubled.
std::string field(const std::string& text) {
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

}  // namespace

std::string measure_history(const std::vector<RecordingReport>& recordings) {
    std::string text = "file,channel,start_s,seconds,LAeq_dB\r\n";
    for (const RecordingReport& recording : recordings) {
        const std::string file = field(recording.file.path);
        const double from = recording.from.value_or(Seconds(0.0)).count();
        for (const MeasuredChannel& channel : recording.measured.channels) {
            const auto& seconds = channel.levels.seconds;
            for (std::size_t n = 0; n < seconds.size(); ++n) {
                const bool last = n + 1 == seconds.size();
                const double length = last ? channel.levels.last_second.count() : 1.0;
                const std::string level =
                    seconds[n] ? fmt::format("{:.3f}", seconds[n]->dB()) : std::string();
                text += fmt::format("{},{},{:.10g},{:.10g},{}\r\n", file, channel.number,
                                    from + static_cast<double>(n), length, level);
            }
        }
    }
    return text;
}

}  // namespace earbudget::report
