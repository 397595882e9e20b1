#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "files/written_values.hpp"
#include "responses/stored_response.hpp"

namespace earbudget::responses {

namespace {

constexpr std::size_t numbers_in_a_line = 10;

std::string text_line(std::string_view key, const std::string& text) {
    return text.empty() ? "" : fmt::format("{} = {}\n", key, files::toml_string(text));
}

/// An array, ten values a line.
std::string array(std::string_view key, const std::vector<std::string>& values) {
    std::string text = fmt::format("{} = [", key);
    for (std::size_t n = 0; n < values.size(); ++n)
        text += (n % numbers_in_a_line == 0 ? "\n  " : " ") + values[n] + ",";
    return text + (values.empty() ? "]\n" : "\n]\n");
}

/// Five digits that count: a phase to a hundredth of a degree, a level to 0.0001 dB.
std::string magnitude_text(double value) {
    const std::string text = fmt::format("{:.5g}", value);
    return text.find_first_of(".en") == std::string::npos ? text + ".0" : text;
}

std::string axis_text(std::string_view name, const AxisResponse& axis, double width) {
    std::vector<std::string> frequencies;
    std::vector<std::string> magnitudes;
    std::vector<std::string> phases;
    std::vector<std::string> coherences;
    for (std::size_t k = 0; k < axis.lines.size(); ++k) {
        if (!axis.lines[k]) continue;
        const auto value = axis.lines[k]->Pa_per_T_per_m;
        frequencies.push_back(files::toml_float(static_cast<double>(k) * width));
        magnitudes.push_back(magnitude_text(std::abs(value)));
        phases.push_back(decimal_text(std::arg(value) * 180.0 / std::numbers::pi, 1));
        coherences.push_back(decimal_text(axis.lines[k]->coherence, 3));
    }
    return fmt::format("\n[axis.{}]\ndriven = {}\nseparable = {}\ntime_base = {}\n", name,
                       axis.driven, axis.separable, axis.time_base) +
           array("frequency_Hz", frequencies) + array("magnitude_Pa_per_T_per_m", magnitudes) +
           array("phase_deg", phases) + array("coherence", coherences);
}

std::string uncertainty_text(const ResponseUncertainty& uncertainty) {
    std::string text =
        fmt::format("\n[uncertainty]\nLAeq = {}\n", files::toml_float(uncertainty.LAeq.dB()));
    std::string bands;
    for (std::size_t band = 0; band < third_octave_count; ++band) {
        if (const auto& each = uncertainty.third_octave[band])
            bands += fmt::format("\"{}\" = {}\n", third_octave_names[band],
                                 files::toml_float(each->dB()));
    }
    return bands.empty() ? text : text + "\n[uncertainty.third_octave]\n" + bands;
}

std::string origin_text(const ResponseOrigin& origin) {
    std::string text = "\n[origin]\n" + text_line("how", origin.how) +
                       text_line("who", origin.who) + text_line("when", origin.when) +
                       text_line("where", origin.where) + text_line("subject", origin.subject) +
                       text_line("instrument", origin.instrument) +
                       text_line("calibration", origin.calibration);
    std::vector<std::string> recordings;
    for (const std::string& recording : origin.recordings)
        recordings.push_back(files::toml_string(recording));
    return recordings.empty()
               ? text
               : text + fmt::format("recordings = [{}]\n", fmt::join(recordings, ", "));
}

std::string comparison_text(const Comparison& comparison) {
    return "\n[[comparison]]\n" + text_line("sequence", comparison.sequence) +
           text_line("when", comparison.when) +
           fmt::format("LAeq_difference_dB = {}\ninside = {}\n",
                       files::toml_float(comparison.LAeq_difference.dB()), comparison.inside);
}

std::string records_text(const StoredResponse& stored) {
    std::string text;
    for (const LeftOut& each : stored.left_out) {
        text += "\n[[left_out]]\n" + text_line("recording", each.recording);
        if (each.LAeq_error)
            text += fmt::format("LAeq_error_dB = {}\n", files::toml_float(each.LAeq_error->dB()));
    }
    for (const Comparison& each : stored.comparisons)
        text += comparison_text(each);
    return text;
}

}  // namespace

std::size_t recordings_held_back(const StoredResponse& stored) {
    return static_cast<std::size_t>(std::ranges::count_if(
        stored.left_out, [](const LeftOut& each) { return each.LAeq_error.has_value(); }));
}

ResponseUncertainty uncertainty_of(const StoredResponse& stored) {
    const LevelDifference least = recordings_held_back(stored) >= recordings_for_a_trial
                                      ? least_uncertainty_of_prediction
                                      : uncertainty_of_untried_response;
    ResponseUncertainty uncertainty = stored.response.uncertainty;
    uncertainty.LAeq = std::max(uncertainty.LAeq, least);
    for (auto& band : uncertainty.third_octave) {
        if (band) band = std::max(*band, least);
    }
    return uncertainty;
}

std::string uncertainty_words(const StoredResponse& stored) {
    const std::size_t held_back = recordings_held_back(stored);
    if (held_back >= recordings_for_a_trial)
        return fmt::format("{} recordings, each held back in turn and predicted by the others",
                           held_back);
    return fmt::format("stated by its maker, at least {:.0f} dB, as a guess, since {} held back",
                       uncertainty_of_untried_response.dB(),
                       held_back == 0
                           ? "no recording was"
                           : fmt::format("only {} of 3 recordings needed were", held_back));
}

std::string with_comparison(std::string text, const Comparison& comparison) {
    if (!text.empty() && text.back() != '\n') text += '\n';
    return text + comparison_text(comparison);
}

std::string written_response(const StoredResponse& stored) {
    std::string text = "kind = \"response\"\nformat = 1\n" + text_line("title", stored.title) +
                       text_line("scanner", stored.scanner) +
                       text_line("software", stored.software) + text_line("coil", stored.coil) +
                       fmt::format("bin_width_Hz = {:.9g}\n", stored.response.bin_width.Hz());
    text += uncertainty_text(stored.response.uncertainty) + origin_text(stored.origin) +
            records_text(stored);
    constexpr std::array names = {"x", "y", "z"};
    for (std::size_t axis = 0; axis < gradient_axes; ++axis)
        text += axis_text(names[axis], stored.response.axes[axis], stored.response.bin_width.Hz());
    return text;
}

}  // namespace earbudget::responses
