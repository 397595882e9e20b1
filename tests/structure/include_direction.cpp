// Includes point one way: from the command line down to acoustics. The three wings measurement,
// protection and exposure never include one another.
#include <filesystem>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <string_view>

#include <doctest/doctest.h>

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
        {"files",
         {"acoustics", "measurement", "protection", "exposure", "study", "decision", "files"}},
        {"report",
         {"acoustics", "measurement", "protection", "exposure", "study", "decision", "report"}},
        {"install", {}},  // no sources: where things go
        {"archive", {}},  // a script
        {"demo", {"acoustics", "demo"}},
        {"cli",
         {"acoustics", "measurement", "protection", "exposure", "study", "decision", "files",
          "report", "cli"}},
        {"guides", {"report", "cli", "guides"}}};
    return table;
}

// The folder that a line includes from, empty for a line that includes nothing of the project.
std::string included_folder(std::string line) {
    for (const std::string_view start : {"#include \"earbudget/", "#include \""}) {
        if (line.rfind(start, 0) != 0) continue;
        line.erase(0, start.size());
        return line.substr(0, line.find('/'));
    }
    return "";
}

// Checks one folder, returns how many includes of the project it saw.
int check_folder(const std::string& layer, const std::filesystem::path& folder) {
    int seen = 0;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
        if (!entry.is_regular_file()) continue;
        std::istringstream content(content_of(entry.path().string()));
        for (std::string line; std::getline(content, line);) {
            const std::string included = included_folder(line);
            if (included.empty()) continue;
            CAPTURE(entry.path().string());
            CAPTURE(line);
            CHECK(permitted().at(layer).contains(included));
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
