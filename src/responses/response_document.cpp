#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "report/text_style.hpp"
#include "responses/response_answer.hpp"

namespace earbudget::responses {

namespace {

constexpr std::array axis_names = {"x", "y", "z"};

struct KnownLines {
    std::size_t count = 0, first = 0, last = 0, loudest = 0;
};

KnownLines known_lines_of(const AxisResponse& axis) {
    KnownLines known;
    double largest = 0.0;
    for (std::size_t k = 0; k < axis.lines.size(); ++k) {
        if (!axis.lines[k]) continue;
        if (known.count++ == 0) known.first = k;
        known.last = k;
        const double magnitude = std::abs(axis.lines[k]->Pa_per_T_per_m);
        if (magnitude <= largest) continue;
        largest = magnitude;
        known.loudest = k;
    }
    return known;
}

std::string axis_words(const AxisResponse& axis, std::size_t count) {
    if (!axis.driven) return "no waveform drives it";
    if (!axis.separable) return "runs in step with others: not to be told apart";
    if (count == 0) return "nothing of it is heard";
    return "known";
}

report::Table table_of_axes(const ScannerResponse& response) {
    report::Table table{.name = "Axes",
                        .columns = {{.key = "axis", .title = "axis", .number = false},
                                    {.key = "known", .title = "is", .number = false},
                                    {"lines", "lines", "", 0},
                                    {"from_Hz", "from", "Hz", 0},
                                    {"to_Hz", "to", "Hz", 0},
                                    {"loudest_Hz", "loudest at", "Hz", 0},
                                    {"loudest", "there", "Pa/(T/m)", 1}}};
    const double width = response.bin_width.Hz();
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const KnownLines known = known_lines_of(response.axes[axis]);
        const auto at = [&](std::size_t k) {
            return report::Cell(
                known.count > 0 ? std::optional(static_cast<double>(k) * width) : std::nullopt,
                "-");
        };
        std::optional<double> loudest;
        if (known.count > 0)
            loudest = std::abs(response.axes[axis].lines[known.loudest]->Pa_per_T_per_m);
        table.rows.push_back({report::list_of<report::Cell>(
            axis_names[axis], axis_words(response.axes[axis], known.count),
            static_cast<double>(known.count), at(known.first), at(known.last), at(known.loudest),
            report::Cell(loudest, "-"))});
    }
    return table;
}

report::Table table_of_pairs(const std::vector<UsedPair>& pairs) {
    report::Table table{.name = "Recordings",
                        .columns = {{.key = "recording", .title = "recording", .number = false},
                                    {.key = "waveform", .title = "of", .number = false},
                                    {"starts_at_s", "waveform begins at", "s", 3},
                                    {"clock_ppm", "clock off by", "ppm", 1},
                                    {"explained_percent", "follows the drive", "%", 0},
                                    {"left_out_error_dB", "held back, predicted off by", "dB", 1}}};
    for (const UsedPair& pair : pairs) {
        std::optional<double> error;
        if (pair.held_back.LAeq) error = pair.held_back.LAeq->dB();
        table.rows.push_back({report::list_of<report::Cell>(
            pair.recording.path, pair.waveform.path, pair.alignment.starts_at.count(),
            pair.alignment.clock_ppm, 100.0 * pair.alignment.explained,
            report::Cell(error, "not covered"))});
    }
    return table;
}

std::string uncertainty_words(const ResponseAnswer& answer) {
    const auto tried = static_cast<std::size_t>(std::ranges::count_if(
        answer.pairs, [](const UsedPair& pair) { return pair.held_back.LAeq.has_value(); }));
    const double uncertainty = answer.stored.response.uncertainty.LAeq.dB();
    if (tried < recordings_for_a_trial) {
        return fmt::format(
            "A predicted LAeq has a standard uncertainty of {:.1f} dB, that of a guess: {} of {} "
            "recordings could be held back and predicted from the others; {} would do.",
            uncertainty, tried, answer.pairs.size(), recordings_for_a_trial);
    }
    return fmt::format(
        "A predicted LAeq has a standard uncertainty of {:.1f} dB: what {} recordings, each held "
        "back in turn and predicted from the others, were off by, and never less than {:.0f} dB.",
        uncertainty, tried, least_uncertainty_of_prediction.dB());
}

std::string phases_words(const ScannerResponse& response) {
    std::vector<unsigned> bases;
    for (const AxisResponse& axis : response.axes) {
        const bool new_one = std::ranges::find(bases, axis.time_base) == bases.end();
        if (new_one && known_lines_of(axis).count > 0) bases.push_back(axis.time_base);
    }
    if (bases.size() < 2)
        return "The axes' phases belong to one time: their sounds are added as pressures.";
    return "Not all axes were recorded together: their phases do not belong to one time, energies "
           "are added, and the sum in phase is given beside them. A recording of a sequence that "
           "drives all axes, not in step, ties them.";
}

std::string headline(const ResponseAnswer& answer) {
    std::string known;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        if (known_lines_of(answer.stored.response.axes[axis]).count == 0) continue;
        known += (known.empty() ? "" : ", ") + std::string(axis_names[axis]);
    }
    if (known.empty()) return "No axis' response is known: record other sequences.";
    return fmt::format("The response of {} is in \"{}\".", known, answer.file);
}

}  // namespace

std::string why_unusable(UnusableRecording why) {
    switch (why) {
        case UnusableRecording::TooShort:
            return "it holds too little of its waveform; accepted: two seconds of it at least";
        case UnusableRecording::NoSound:
            return "it is silent; accepted: a recording of the waveform beside it";
        case UnusableRecording::NotFound:
            return "its sound does not follow its waveform; accepted: the recording of that "
                   "waveform, louder than the room, begun at most half a waveform late";
        case UnusableRecording::OtherRate:
            return "it has another sampling rate than the first; accepted: recordings of one rate";
    }
    return {};
}

report::Document response_document(const ResponseAnswer& answer, const report::Record& record) {
    const ScannerResponse& response = answer.stored.response;
    report::Document document{
        .head = {"response", "What a scanner's gradients sound like",
                 answer.stored.title.empty() ? answer.file : answer.stored.title, answer.file,
                 record.date, ""}};
    document.sections.push_back({"response",
                                 "Response",
                                 {{report::Paragraph{report::strong(headline(answer))}},
                                  {report::Paragraph{uncertainty_words(answer)}},
                                  {table_of_axes(response)},
                                  {report::Paragraph{phases_words(response)}}}});
    document.sections.push_back({"recordings", "Recordings", {{table_of_pairs(answer.pairs)}}});
    report::add_record_and_cautions(record, {}, {}, document);
    return document;
}

}  // namespace earbudget::responses
