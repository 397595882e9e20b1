#pragma once

#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/temporary_folder.hpp"

namespace earbudget::test {

inline const std::string catalogue_head = "kind = \"protectors\"\nformat = 1\n";

inline Outcome run_ratings(const std::string& protectors, std::vector<std::string> more = {}) {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("protectors.toml", catalogue_head + protectors));
    more.insert(more.begin(), {"ratings", "protectors.toml"});
    return run_program(more, folder.path(""));
}

inline nlohmann::json ratings_of(const std::string& protectors, int expected_status) {
    const Outcome outcome = run_ratings(protectors, {"--format", "json"});
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == expected_status);
    CHECK(outcome.errors.empty());
    return nlohmann::json::parse(outcome.output);
}

}  // namespace earbudget::test
