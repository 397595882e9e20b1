#pragma once

#include <optional>
#include <string>
#include <vector>

namespace earbudget::cli {

/// What every command can be told about its output.
struct OutputOptions {
    std::string format = "text";
    std::optional<std::string> file;  ///< none: standard output
    bool force = false;               ///< replace an existing file
};

/// earbudget measure RECORDING...
struct MeasureOptions {
    std::vector<std::string> recordings;
    std::optional<std::string> calibration;     ///< recording of a calibrator's tone
    std::optional<double> calibrator_level_dB;  ///< that it produced
    std::optional<double> full_scale_level_dB;  ///< RMS level of a full-scale sine
    std::optional<unsigned> channel;            ///< from 1; none: all
    std::optional<std::string> card;            ///< sequence card to write
    std::string card_id;                        ///< empty: the name of the card's file
    std::string card_title;                     ///< empty: the id
    std::string who, when, where, instrument;   ///< origin on the card, free text
    std::optional<double> uncertainty_dB;       ///< for the card
    OutputOptions output;
};

/// earbudget assess PLAN
struct AssessOptions {
    std::string plan;
    OutputOptions output;
};

}  // namespace earbudget::cli
