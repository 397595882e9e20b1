#pragma once

#include <optional>
#include <string>

#include "files/text_inputs.hpp"

namespace earbudget::files {

/// What does not change from recording to recording: a file with kind = "setup". What it does not
/// state is none, or empty.
struct MeasuringSetup {
    std::optional<std::string> calibration, calibration_after, background;  ///< paths to open
    std::optional<double> calibrator_level_dB, full_scale_level_dB;
    std::optional<double> sensitivity_mV_per_Pa, full_scale_volts;
    std::optional<unsigned> channel, instrument_class;
    std::optional<double> uncertainty_dB;
    std::string instrument, position, scanner, software, coil, who, when;
    std::optional<std::string> subject;  ///< the load in the bore
};

/// Reads such a file. Throws InputErrors for all mistakes, two ways to calibrate among them.
[[nodiscard]] MeasuringSetup read_measuring_setup(const std::string& path, TextInputs& inputs);

}  // namespace earbudget::files
