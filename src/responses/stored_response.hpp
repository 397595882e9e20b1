#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/excitation/response.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::responses {

/// A prediction beside what was measured of the same sequence later.
struct Comparison {
    std::string sequence;                  ///< id of its card
    std::string when;                      ///< YYYY-MM-DD
    LevelDifference LAeq_difference{0.0};  ///< predicted less measured
    bool inside = false;                   ///< within twice the stated uncertainty
};

/// What the others predict of a recording that was held back, less what was measured.
struct LeftOut {
    std::string recording;
    std::optional<LevelDifference> LAeq_error;
};

/// Where a response comes from, for people.
struct ResponseOrigin {
    std::string how, who, when, where, subject, instrument, calibration;
    std::vector<std::string> recordings;
};

/// A scanner's response as a file holds it.
struct StoredResponse {
    std::string title, scanner, software, coil;
    ScannerResponse response;
    ResponseOrigin origin;
    std::vector<LeftOut> left_out;
    std::vector<Comparison> comparisons;
};

/// How many recordings were held back and predicted by the others.
[[nodiscard]] std::size_t recordings_held_back(const StoredResponse& stored);

/// How far a prediction may be off: as the file states it, never below what is least; of a response
/// that fewer than three recordings, each held back, tell about, never below a guess.
[[nodiscard]] ResponseUncertainty uncertainty_of(const StoredResponse& stored);

/// The same in words: by held back recordings, or stated by its maker.
[[nodiscard]] std::string uncertainty_words(const StoredResponse& stored);

/// Reads a response file. Throws InputErrors at what is wrong in it.
[[nodiscard]] StoredResponse read_response(const std::string& path, files::TextInputs& inputs);

/// The text of a response file, which reads back to it.
[[nodiscard]] std::string written_response(const StoredResponse& stored);

/// The text of a response file with one comparison more at its end; all else of it stays.
[[nodiscard]] std::string with_comparison(std::string text, const Comparison& comparison);

}  // namespace earbudget::responses
