// Includes point one way: from the command line down to acoustics, floor by floor.
#include <filesystem>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

using Rooms = std::vector<std::string>;

/// Rooms on one floor never include one another, but all that is on the floors below.
const std::vector<Rooms>& floors() {
    static const std::vector<Rooms> table = {{"computing"},
                                             {"acoustics"},
                                             {"measurement", "protection", "exposure"},
                                             {"excitation"},
                                             {"study"},
                                             {"day"},
                                             {"uncertainty"},
                                             {"limits"},
                                             {"choice"},
                                             {"review"},
                                             {"measuring", "advice"},
                                             {"words"},
                                             {"files", "report"},
                                             {"tables", "waveforms"},
                                             {"bids", "editing", "responses"},
                                             {"register"},
                                             {"sessions"},
                                             {"starting", "overview", "records", "predicting"},
                                             {"answers"},
                                             {"serving"},
                                             {"desk"},
                                             {"cli"},
                                             {"guides"}};
    return table;
}

const std::map<std::string, std::set<std::string>>& permitted() {
    static const auto table = [] {
        std::map<std::string, std::set<std::string>> rooms;
        std::set<std::string> below;
        for (const Rooms& floor : floors()) {
            for (const std::string& room : floor) {
                rooms[room] = below;
                rooms[room].insert(room);
            }
            below.insert(floor.begin(), floor.end());
        }
        rooms["study"].erase("measurement");
        rooms["demo"] = {"acoustics", "demo"};
        rooms["install"] = {};  // no sources: where things go
        rooms["archive"] = {};  // a script
        return rooms;
    }();
    return table;
}

// The folder that a line includes from, empty for a line that includes nothing of the project.
std::string included_folder(std::string line) {
    for (const std::string_view start : {"#include \"earbudget/", "#include \""}) {
        if (line.rfind(start, 0) != 0) continue;
        line.erase(0, start.size());
        // A room of its own in the house of reports: files refuse in the same words.
        if (line.starts_with("report/words/")) return "words";
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
        const auto sources = root / "src" / (layer == "words" ? "report/words" : layer);
        if (std::filesystem::exists(sources)) seen += check_folder(layer, sources);
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
