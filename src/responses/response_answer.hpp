#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/excitation/estimate.hpp"
#include "report/document.hpp"
#include "report/record.hpp"
#include "report/shape.hpp"
#include "responses/stored_response.hpp"

namespace earbudget::responses {

/// A waveform and what was recorded of it, as the answer shows them.
struct UsedPair {
    report::SourceFile waveform, recording;
    Alignment alignment;
    HeldBack held_back;
};

/// A response that was estimated.
struct ResponseAnswer {
    StoredResponse stored;
    std::vector<UsedPair> pairs;
    std::string file;  ///< that it was written to
};

/// The answer as JSON, with a line break at its end.
[[nodiscard]] std::string response_json(const ResponseAnswer& answer, const report::Record& record);
[[nodiscard]] const report::ObjectShape& response_shape();

/// The same to be read.
[[nodiscard]] report::Document response_document(const ResponseAnswer& answer,
                                                 const report::Record& record);

/// Why a recording cannot be used, and what would do.
[[nodiscard]] std::string why_unusable(UnusableRecording why);

}  // namespace earbudget::responses
