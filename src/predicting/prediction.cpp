#include "predicting/prediction.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace earbudget::predicting {

namespace {

// A step that rounding of a file's numbers does not explain, in T/m: 10 T/m/s over a raster of
// 10 µs; own choice.
constexpr double largest_jump_by_rounding = 1e-4;

void note_jump(const WaveformFigures& figures, const std::string& path,
               std::vector<ReadingNote>& notes) {
    const double jump = *std::ranges::max_element(figures.largest_jump);
    if (jump <= largest_jump_by_rounding) return;
    notes.push_back(
        {"jump",
         fmt::format("a gradient jumps by {:.3g} mT/m at {:.6g} s, which no scanner can "
                     "follow; slew rates do not count it",
                     jump * 1e3, figures.jump_at.count()),
         {path}});
}

void note_orientation(const Prediction& prediction, std::vector<ReadingNote>& notes) {
    if (prediction.waveform.rotated_by || !prediction.sound->levels.keeps_orientation) return;
    notes.push_back({"keeps-orientation",
                     "some gradients do not turn with the slices (NOROT): the loudest orientation "
                     "is not looked for; state the orientation with --rotate",
                     {prediction.waveform.file.path}});
}

/// Measures a waveform while it is played.
class MeteredWaveform final : public WaveformSource {
  public:
    explicit MeteredWaveform(WaveformSource& source) : source_(source) {}
    [[nodiscard]] std::optional<GradientPiece> next() override {
        auto piece = source_.next();
        if (piece) meter_.add(*piece);
        return piece;
    }
    void rewind() override {
        source_.rewind();
        meter_ = {};
    }
    [[nodiscard]] bool duration_is_lower_bound() const override {
        return source_.duration_is_lower_bound();
    }
    [[nodiscard]] WaveformFigures figures() const {
        WaveformFigures figures = meter_.figures();
        figures.duration_is_lower_bound = duration_is_lower_bound();
        return figures;
    }

  private:
    WaveformSource& source_;
    WaveformMeter meter_;
};

}  // namespace

Prediction predict(waveforms::WaveformFile& file, const std::optional<std::string>& rotated_by,
                   std::optional<ReadResponse> response) {
    Prediction prediction;
    WaveformFigures figures;
    if (response) {
        response->stored.response.uncertainty = responses::uncertainty_of(response->stored);
        MeteredWaveform metered(file.source());
        auto levels = predict_sound(metered, response->stored.response);
        figures = metered.figures();
        prediction.sound.emplace(PredictedSound{std::move(response->file),
                                                std::move(response->stored), std::move(levels)});
    } else {
        figures = figures_of(file.source());
    }
    prediction.waveform = {.file = {file.path(), file.sha256()},
                           .format_version = file.format_version(),
                           .title = file.title(),
                           .repeat = file.terms().repeat,
                           .rotated_by = rotated_by,
                           .figures = figures};
    file.require_unchanged();
    prediction.notes = file.notes();
    note_jump(figures, file.path(), prediction.notes);
    if (prediction.sound) note_orientation(prediction, prediction.notes);
    return prediction;
}

}  // namespace earbudget::predicting
