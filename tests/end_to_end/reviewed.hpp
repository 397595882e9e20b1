#pragma once

#include <algorithm>
#include <cctype>
#include <stdexcept>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/holds.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

namespace earbudget::test {

inline Outcome reviewed(const StudyText& text, const std::vector<std::string>& more = {}) {
    const StudyFolder study(text);
    std::vector<std::string> words = {"review", "cards/epi.toml"};
    words.insert(words.end(), more.begin(), more.end());
    return run_program(words, study.root());
}

/// The small study with a card that says all that a committee must know first.
inline StudyText all_known() {
    StudyText text;
    text.card +=
        "who = \"A\"\nwhen = \"2026-01-01\"\nwhere = \"ear position, person\"\n"
        "instrument = \"class 1 meter\"\ncalibration = \"94 dB at 1 kHz, before and after\"\n";
    return text;
}

/// The small study's own card lacks what must be known first, so that nothing is approved.
inline nlohmann::json reviewed_json(const StudyText& text, std::vector<std::string> more = {},
                                    int expected_status = 1) {
    more.insert(more.end(), {"--format", "json"});
    const Outcome outcome = reviewed(text, more);
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == expected_status);
    CHECK(outcome.errors.empty());
    return nlohmann::json::parse(outcome.output);
}

inline const std::vector<std::string> with_protectors = {"--protectors", "protectors.toml"};

inline nlohmann::json entry(const nlohmann::json& sequence, const std::vector<std::string>& wears,
                            const std::string& id) {
    for (const nlohmann::json& permitted : sequence["permitted"]) {
        if (permitted["wears"] == nlohmann::json(wears) && permitted["criterion"] == id)
            return permitted;
    }
    throw std::out_of_range(id);
}

inline nlohmann::json check_named(const nlohmann::json& sequence, const std::string& code) {
    for (const nlohmann::json& check : sequence["checks"])
        if (check["code"] == code) return check;
    throw std::out_of_range(code);
}

inline std::string in_small_letters(std::string text) {
    std::ranges::transform(text, text.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return text;
}

}  // namespace earbudget::test
