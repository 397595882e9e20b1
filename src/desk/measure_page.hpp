#pragma once

#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "desk/desk.hpp"
#include "desk/jobs.hpp"
#include "desk/sounds_fields.hpp"
#include "desk/sounds_form.hpp"

namespace earbudget::desk {

/// A file that is sent to be measured: its field, the name that it has here, and how pages call it.
struct MeasuredFile {
    std::string_view field, name, words;
};
inline constexpr auto measured_files = std::to_array<MeasuredFile>({
    {"recording", "recording", "Recording of the sequence"},
    {"calibration", "calibrator", "Recording of the calibrator's tone"},
    {"calibration-after", "calibrator-after", "The tone once more, after the measurement"},
    {"background", "background", "Recording of the background, without the sequence"},
});

/// The options of `measure` that the form asks for as text, and those that are ticked.
[[nodiscard]] const std::vector<std::string>& measure_texts();
inline constexpr auto measure_ticks = std::to_array<std::pair<std::string_view, std::string_view>>({
    {"accept-drift", "Measure although the calibration drifted"},
    {"accept-length", "Measure what the header announces, though the file holds more"},
    {"find-runs", "Find when sequences play in a long recording (no card is made)"},
    {"levels-alone", "Levels alone, without a card"},
});

/// The fields of the form; `again`: the files are here already.
[[nodiscard]] std::string measure_fields(const FormState& state, const Form& ticked, bool again);

/// The page of a measurement that has ended: what it found, and the card to be saved, over which
/// `form` was typed where there is one.
struct AboutJob {
    std::string_view address;  ///< what the job's name stands behind
    std::string sent;          ///< what it was made of; markup
    std::string again;         ///< how to do it with other values; markup
};
[[nodiscard]] Reply measured_page(const Opened& desk, const Asked& asked, const Job& job,
                                  const AboutJob& about);

/// The form for a sequence that has never run, whose waveform is sent.
[[nodiscard]] std::string predict_section(const Opened& desk, const Asked& asked);

/// By which name the browser sent a file; empty where it did not.
[[nodiscard]] const std::string& sent_name(const Job& job, std::string_view field);

/// The text of the card that was written, which names the files as they were sent; empty for none.
[[nodiscard]] std::string card_of_job(const Job& job);

inline constexpr std::string_view kind_of_measure = "measure";

}  // namespace earbudget::desk
