#include <algorithm>
#include <array>
#include <filesystem>
#include <system_error>

#include <fmt/format.h>

#include "cli/measure_inputs.hpp"
#include "cli/messages.hpp"
#include "files/measuring_setup.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::cli {

namespace {

void put(std::string& option, const std::string& in_setup) {
    if (option.empty()) option = in_setup;
}

template <class Value>
void put(std::optional<Value>& option, const std::optional<Value>& in_setup) {
    if (!option) option = in_setup;
}

template <class Value>
void put(std::vector<Value>& option, const std::optional<Value>& in_setup) {
    if (option.empty() && in_setup) option.push_back(*in_setup);
}

/// All of one way, or nothing where a way is stated already.
void put_calibration(MeasureOptions& options, const files::MeasuringSetup& setup) {
    const bool tone_alone = options.calibration.empty() && options.full_scale_level_dB.empty() &&
                            options.sensitivity_mV_per_Pa.empty() &&
                            options.full_scale_volts.empty();
    // The tone of today with the calibrator of the setup, or the other way round.
    if (tone_alone || !options.calibration.empty())
        put(options.calibrator_level_dB, setup.calibrator_level_dB);
    if (!tone_alone) return;
    put(options.calibration, setup.calibration);
    put(options.calibration_after, setup.calibration_after);
    put(options.full_scale_level_dB, setup.full_scale_level_dB);
    put(options.sensitivity_mV_per_Pa, setup.sensitivity_mV_per_Pa);
    put(options.full_scale_volts, setup.full_scale_volts);
}

/// Of a whole folder of recordings the calibrator's tone and the background are no sequences.
void leave_out_those_of_setup(MeasureOptions& options, const files::MeasuringSetup& setup) {
    if (!options.cards) return;
    const auto is_of_setup = [&](const std::string& recording) {
        return std::ranges::any_of(
            std::array{setup.calibration, setup.calibration_after, setup.background},
            [&](const std::optional<std::string>& own) {
                std::error_code ignored;
                return own && std::filesystem::equivalent(*own, recording, ignored);
            });
    };
    std::vector<std::string> kept;
    for (const std::string& recording : options.recordings) {
        if (is_of_setup(recording)) {
            say(fmt::format("note: \"{}\" is the setup's own, calibration or background, and gets no card",
                            recording));
        } else {
            kept.push_back(recording);
        }
    }
    if (!kept.empty()) options.recordings = std::move(kept);
}

}  // namespace

MeasureOptions with_setup(MeasureOptions options, FilesRead& read) {
    if (!options.setup) return options;
    files::TextInputs inputs;
    const files::MeasuringSetup setup = files::read_measuring_setup(*options.setup, inputs);
    read.push_back({*options.setup, inputs.sha256(*options.setup)});
    put_calibration(options, setup);
    put(options.background, setup.background);
    leave_out_those_of_setup(options, setup);
    put(options.channel, setup.channel);
    if (setup.instrument_class)
        put(options.instrument_class, std::optional(std::to_string(*setup.instrument_class)));
    // What only a card says has no place where none is written.
    if (!options.card && !options.cards) return options;
    put(options.uncertainty_dB, setup.uncertainty_dB);
    put(options.instrument, setup.instrument);
    put(options.where, setup.position);
    put(options.scanner, setup.scanner);
    put(options.software, setup.software);
    put(options.coil, setup.coil);
    put(options.who, setup.who);
    put(options.when, setup.when);
    put(options.subject, setup.subject);
    return options;
}

}  // namespace earbudget::cli
