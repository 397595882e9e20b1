#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "predicting/prediction.hpp"
#include "report/text_style.hpp"

namespace earbudget::predicting {

namespace {

/// A duration as it is said of a sequence: short ones in milliseconds.
std::string duration_words(Seconds time) {
    if (time < Seconds(1.0)) return fmt::format("{:.4g} ms", time.count() * 1e3);
    if (time < Seconds(120.0)) return fmt::format("{:.4g} s", time.count());
    return report::table_time(time);
}

std::string headline(const PlayedWaveform& waveform, bool has_sound) {
    const WaveformFigures& figures = waveform.figures;
    const auto largest = [](const AxisVector& axes) { return *std::ranges::max_element(axes); };
    return fmt::format(
        "{}{}{}, at most {:.1f} mT/m and {:.1f} T/m/s{}.",
        figures.duration_is_lower_bound ? "At least " : "", duration_words(figures.duration),
        waveform.repeat > 1 ? fmt::format(" in {} repetitions", waveform.repeat) : std::string(),
        largest(figures.largest_gradient) * 1e3, largest(figures.largest_slew),
        has_sound ? "" : ": a level needs the scanner's response");
}

report::Table table_of(const WaveformFigures& figures) {
    report::Table table{.name = "Gradients",
                        .columns = {{.key = "axis", .title = "axis", .number = false},
                                    {"largest_gradient_mT_per_m", "largest gradient", "mT/m", 3},
                                    {"largest_slew_T_per_m_s", "largest slew rate", "T/m/s", 1},
                                    {"rms_slew_T_per_m_s", "RMS slew rate", "T/m/s", 3}}};
    constexpr std::array names = {"x", "y", "z"};
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        table.rows.push_back(
            {report::list_of<report::Cell>(names[axis], figures.largest_gradient[axis] * 1e3,
                                           figures.largest_slew[axis], figures.rms_slew[axis])});
    }
    return table;
}

std::string axes_words(const PlayedWaveform& waveform) {
    return waveform.rotated_by
               ? fmt::format("Axes are those of the scanner, after the rotation {}.",
                             *waveform.rotated_by)
               : std::string(
                     "Axes are those of the file: at another orientation of the slices the "
                     "scanner's own are driven otherwise (--rotate).");
}

report::List notes_of(const std::vector<ReadingNote>& notes) {
    report::List list{.items = {}, .bullets = true};
    for (const ReadingNote& note : notes)
        list.items.push_back({fmt::format("{}: {}", note.where.text(), note.text)});
    return list;
}

}  // namespace

report::Document prediction_document(const Prediction& prediction, const report::Record& record) {
    const PlayedWaveform& waveform = prediction.waveform;
    report::Document document{.head = {"predict", "A sequence before it has run",
                                       waveform.title.empty() ? waveform.file.path : waveform.title,
                                       waveform.file.path, record.date, waveform.file.sha256}};
    document.sections.push_back(
        {"waveform",
         "Waveform",
         {{report::Paragraph{report::strong(headline(waveform, prediction.sound.has_value()))}},
          {table_of(waveform.figures)},
          {report::Paragraph{axes_words(waveform)}}}});
    if (prediction.sound) add_sound(*prediction.sound, prediction, document);
    if (prediction.varied) add_varied(*prediction.varied, document);
    if (!prediction.notes.empty())
        document.sections.push_back({"warnings", "Warnings", {{notes_of(prediction.notes)}}});
    report::add_record_and_cautions(record, {}, {}, document);
    return document;
}

}  // namespace earbudget::predicting
