#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "predicting/predicted_figures.hpp"
#include "predicting/prediction.hpp"
#include "report/text_style.hpp"

namespace earbudget::predicting {

namespace {

constexpr std::string_view measure_before =
    "Predicted, never heard: measure it before it is approved. It tells nothing of peaks.";
constexpr std::size_t tones_told = 8;

std::string level_words(const PredictedSound& sound) {
    const ExpectedSound& levels = sound.levels;
    if (!levels.LAeq)
        return "The response tells nothing of what this sequence drives: there is no level.";
    return fmt::format("{:.1f} dB(A), standard uncertainty {:.1f} dB.", levels.LAeq->dB(),
                       levels.uncertainty.dB());
}

/// As both are printed.
bool could_be_louder(const ExpectedSound& levels) {
    const auto& at_most = levels.uncovered.LAeq_at_most;
    return at_most && levels.LAeq &&
           fmt::format("{:.1f}", at_most->dB()) != fmt::format("{:.1f}", levels.LAeq->dB());
}

std::string uncovered_words(const ExpectedSound& levels) {
    const Uncovered& uncovered = levels.uncovered;
    std::string bands;
    for (const std::size_t band : uncovered.third_octaves)
        bands += (bands.empty() ? "" : ", ") + std::string(third_octave_names[band]);
    if (uncovered.energy_percent < 0.05) return "The response covers all that the sequence drives.";
    return fmt::format(
        "The response is unknown where {:.1f} % of the gradients' slew lies, A-weighted{}{}.",
        uncovered.energy_percent,
        could_be_louder(levels)
            ? fmt::format(": the level could be up to {:.1f} dB(A)", uncovered.LAeq_at_most->dB())
            : std::string(),
        bands.empty() ? std::string() : fmt::format("; mostly in the third octaves {} Hz", bands));
}

std::string axes_words(const ExpectedSound& levels) {
    constexpr std::array names = {"x", "y", "z"};
    std::string text;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        if (levels.of_axis[axis])
            text += fmt::format("{}{} {:.1f} dB(A)", text.empty() ? "Alone would sound " : ", ",
                                names[axis], levels.of_axis[axis]->dB());
    }
    text += ".";
    if (levels.energies_added && levels.LAeq_in_phase)
        text += fmt::format(
            " Their phases do not belong to one time: energies are added, in phase it would be "
            "{:.1f} dB(A).",
            levels.LAeq_in_phase->dB());
    return text;
}

std::string worst_words(const ExpectedSound& levels) {
    return fmt::format(
        "At the loudest orientation of the slices it would be {:.1f} dB(A): state the scanner's "
        "own axes with --rotate.",
        levels.worst->LAeq.dB());
}

std::string tones_words(const ExpectedSound& levels) {
    std::vector<PredictedTone> tones = levels.tones;
    std::ranges::sort(tones, std::greater<>(),
                      [](const PredictedTone& tone) { return tone.level.dB(); });
    if (tones.size() > tones_told)
        tones.erase(tones.begin() + static_cast<std::ptrdiff_t>(tones_told), tones.end());
    std::string text;
    for (const PredictedTone& tone : tones)
        text += fmt::format("{}{:.0f} Hz {:.0f} dB", text.empty() ? "" : ", ", tone.frequency.Hz(),
                            tone.level.dB());
    if (text.empty()) return "No tones stand out.";
    return fmt::format("Tones{}: {}.",
                       levels.fundamental
                           ? fmt::format(", harmonics of {:.1f} Hz", levels.fundamental->Hz())
                           : std::string(),
                       text);
}

std::string seconds_words(const ExpectedSound& levels) {
    std::optional<LevelA> loudest;
    std::optional<LevelA> quietest;
    for (const auto& second : levels.seconds) {
        if (second && (!loudest || *second > *loudest)) loudest = second;
        if (second && (!quietest || *second < *quietest)) quietest = second;
    }
    if (!loudest) return "All seconds are silent.";
    return fmt::format("Second by second from {:.1f} to {:.1f} dB(A).", quietest->dB(),
                       loudest->dB());
}

report::Table table_of_octaves(const ExpectedSound& levels) {
    report::Table table{.name = "Octave bands",
                        .columns = {{.key = "octave", .title = "octave band, Hz", .number = true},
                                    {"octave_dB", "Leq", "dB"},
                                    {"octave_A_dB", "A-weighted", "dB(A)"}}};
    for (const OctaveBand band : octave_bands) {
        const auto level = levels.octave.at(band);
        const auto weighted = levels.octave_A.at(band);
        if (!level && !weighted) continue;
        table.rows.push_back({report::list_of<report::Cell>(
            std::string(name_of(band)),
            report::Cell(level ? std::optional(level->dB()) : std::nullopt, "-"),
            report::Cell(weighted ? std::optional(weighted->dB()) : std::nullopt, "-"))});
    }
    return table;
}

std::string response_words(const PredictedSound& sound) {
    const responses::ResponseOrigin& origin = sound.response.origin;
    std::string text = fmt::format(
        "By the response in \"{}\"{}", sound.file.path,
        sound.response.scanner.empty() ? "" : fmt::format(", scanner {}", sound.response.scanner));
    if (!origin.when.empty()) text += fmt::format(", measured {}", origin.when);
    if (!origin.where.empty()) text += fmt::format(", at {}", origin.where);
    if (!origin.subject.empty()) text += fmt::format(", load in the bore: {}", origin.subject);
    text += ". It changes with coil, load and position.";
    if (!origin.how.empty()) text += fmt::format(" How it came about: {}.", origin.how);
    text += fmt::format(" Its uncertainty: {}.", responses::uncertainty_words(sound.response));
    const auto& compared = sound.response.comparisons;
    if (compared.empty()) return text + " No prediction of it was compared with a measurement yet.";
    const auto inside = std::ranges::count_if(
        compared, [](const responses::Comparison& each) { return each.inside; });
    return text + fmt::format(
                      " Of {} predictions compared with measurements, {} were within twice "
                      "the uncertainty.",
                      compared.size(), inside);
}

}  // namespace

void add_sound(const PredictedSound& sound, const Prediction& prediction,
               report::Document& document) {
    const ExpectedSound& levels = sound.levels;
    report::Section section{"levels",
                            "Sound",
                            {{report::Paragraph{report::strong(level_words(sound))}},
                             {report::Paragraph{std::string(measure_before)}},
                             {report::Paragraph{uncovered_words(levels)}}}};
    if (prediction.varied)
        section.blocks.insert(
            section.blocks.begin() + 1,
            {report::Paragraph{report::strong(quieter_words(*prediction.varied))}});
    if (levels.LAeq) {
        section.blocks.push_back({report::Paragraph{axes_words(levels)}});
        if (!prediction.waveform.rotated_by && levels.worst)
            section.blocks.push_back({report::Paragraph{worst_words(levels)}});
        section.blocks.push_back({table_of_octaves(levels)});
        section.blocks.push_back({report::Paragraph{tones_words(levels)}});
        section.blocks.push_back({report::Paragraph{seconds_words(levels)}});
    }
    section.blocks.push_back({report::Paragraph{response_words(sound)}});
    section.blocks.push_back(
        {report::Figure{[&sound] { return sound_figures(sound); }}, report::Medium::Page});
    document.sections.insert(document.sections.begin(), std::move(section));
}

}  // namespace earbudget::predicting
