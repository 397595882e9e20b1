// Includes point one way: from the command line down to acoustics. The three wings measurement,
// protection and exposure never include one another.
#include <doctest/doctest.h>

#include <filesystem>
#include <map>
#include <regex>
#include <set>
#include <string>

#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

const std::map<std::string, std::set<std::string>>& permitted() {
    static const std::map<std::string, std::set<std::string>> table = {
        {"acoustics", {"acoustics"}},
        {"measurement", {"acoustics", "measurement"}},
        {"protection", {"acoustics", "protection"}},
        {"exposure", {"acoustics", "exposure"}},
        {"study", {"acoustics", "protection", "exposure", "study"}},
        {"decision", {"acoustics", "measurement", "protection", "exposure", "study", "decision"}},
        {"files", {"acoustics", "measurement", "protection", "exposure", "study", "decision",
                   "files"}},
        {"report", {"acoustics", "measurement", "protection", "exposure", "study", "decision",
                    "report"}},
        {"demo", {"acoustics", "demo"}},
        {"cli", {"acoustics", "measurement", "protection", "exposure", "study", "decision", "files",
                 "report", "cli"}}};
    return table;
}

// Checks one folder; returns how many includes of the project it saw.
int check_folder(const std::string& layer, const std::filesystem::path& folder) {
    static const std::regex include("#include \"(?:earbudget/)?([a-z]+)/[^\"]+\"");
    int seen = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        const std::string content = content_of(entry.path().string());
        for (std::sregex_iterator match(content.begin(), content.end(), include), end; match != end;
             ++match) {
            CAPTURE(entry.path().string());
            CAPTURE(match->str());
            CHECK(permitted().at(layer).contains((*match)[1]));
            ++seen;
        }
    }
    return seen;
}

}  // namespace

TEST_CASE("includes point down") {
    const std::filesystem::path root = EARBUDGET_SOURCE_DIR;
    int seen = 0;
    for (const auto& [layer, lower] : permitted()) {
        seen += check_folder(layer, root / "src" / layer);
        const auto headers = root / "include" / "earbudget" / layer;
        if (std::filesystem::exists(headers)) seen += check_folder(layer, headers);
    }
    CHECK(seen > 100);
    for (const auto& entry : std::filesystem::directory_iterator(root / "src")) {
        if (!entry.is_directory()) continue;
        CAPTURE(entry.path().string());
        CHECK(permitted().contains(entry.path().filename().string()));
    }
}
