#pragma once

#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/temporary_folder.hpp"

namespace earbudget::test {

using Words = std::vector<std::string>;

/// What `measure` says as JSON, run in a folder; the test fails at another exit status.
inline nlohmann::json measured(const TemporaryFolder& folder, Words arguments,
                               int expected_status = 0) {
    arguments.insert(arguments.begin(), "measure");
    arguments.insert(arguments.end(), {"--format", "json"});
    const Outcome outcome = run_program(arguments, folder.path(""));
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == expected_status);
    return nlohmann::json::parse(outcome.output);
}

inline nlohmann::json first_channel(const nlohmann::json& result) {
    return result["recordings"][0]["channels"][0];
}

inline bool has_quality(const nlohmann::json& channel, const std::string& code) {
    for (const auto& finding : channel["quality"]) {
        if (finding["code"] == code) return true;
    }
    return false;
}

}  // namespace earbudget::test
