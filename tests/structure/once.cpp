// A list in which each value stands once is filled by add_once alone.
#include <filesystem>
#include <regex>
#include <string>

#include <doctest/doctest.h>

#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

/// Whether a value is looked for in a list and added to it where it is not there.
bool adds_once_by_itself(const std::string& text) {
    static const std::regex own(
        R"(if \((\w+ && )?std::(ranges::)?find\((\S+), [^;]{1,40}\) == \3\.end\(\)\)\s+\3\.push_back)");
    return std::regex_search(text, own);
}

}  // namespace

TEST_CASE("no source adds a value once by itself") {
    CHECK(adds_once_by_itself(
        "if (std::ranges::find(plans, plan) == plans.end()) plans.push_back(plan);"));
    int sources = 0;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(
             std::filesystem::path(EARBUDGET_SOURCE_DIR) / "src")) {
        if (entry.path().extension() != ".cpp") continue;
        CAPTURE(entry.path().string());
        CHECK_FALSE(adds_once_by_itself(content_of(entry.path().string())));
        ++sources;
    }
    CHECK(sources > 200);
}
