// A sequence or a table of any bytes is refused, or plays as pieces that follow one another and
// whose figures are finite, once and again.

#include "earbudget/excitation/waveform_figures.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/file_in_memory.hpp"
#include "fuzz/held.hpp"
#include "predicting/prediction.hpp"
#include "report/record.hpp"
#include "waveforms/open_waveform.hpp"

using namespace earbudget;

namespace {

void hold_axes(const AxisVector& axes) {
    for (const double value : axes) {
        fuzz::hold_finite(value);
        fuzz::hold(value >= 0.0, "figures are magnitudes");
    }
}

void hold_pieces(WaveformSource& source, Seconds duration) {
    source.rewind();
    Seconds now{0.0};
    while (const auto piece = source.next()) {
        fuzz::hold(piece->lasts.count() > 0.0, "a piece lasts");
        fuzz::hold(std::abs((piece->start - now).count()) <= 1e-9, "pieces leave no gaps");
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            fuzz::hold_finite(piece->from[axis]);
            fuzz::hold_finite(piece->to[axis]);
        }
        now = piece->start + piece->lasts;
    }
    fuzz::hold(std::abs((duration - now).count()) <= 1e-9, "the duration is that of the pieces");
    fuzz::hold(!source.next(), "the end stays the end");
}

void use(const std::string& path) {
    auto file = waveforms::open_waveform(
        path, {.repeat = 2, .rotation = *waveforms::parse_rotation("z:30,x:10")});
    const predicting::Prediction prediction = predicting::predict(file, "z:30,x:10");
    const WaveformFigures& figures = prediction.waveform.figures;
    fuzz::hold(figures.duration.count() > 0.0 && figures.duration.count() <= 86'401.0,
               "a waveform lasts");
    for (const AxisVector& axes :
         {figures.largest_gradient, figures.largest_slew, figures.rms_slew, figures.largest_jump})
        hold_axes(axes);
    hold_pieces(file.source(), figures.duration);
    for (const ReadingNote& note : prediction.notes)
        fuzz::hold(!note.code.empty() && !note.text.empty(), "a note has a code and words");
    report::Record record{.date = "2026-11-29", .inputs = {prediction.waveform.file}};
    record.fingerprint = prediction.waveform.file.sha256;
    fuzz::hold(!predicting::prediction_json(prediction, record).empty(), "it is written");
    fuzz::hold_is_seen(report::as_text(predicting::prediction_document(prediction, record), {}));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {2.0, 1e-3, 4 << 20, 4096});
    const fuzz::FileInMemory file(data, size);
    fuzz::use_or_refuse([&] { use(file.path()); });
    return 0;
}
