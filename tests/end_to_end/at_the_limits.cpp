// Answers at a limit itself and beside it, where one operator or constant decides.
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/reviewed.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

/// The first criterion's result of one second at this level, with nothing worn.
json result_at(double LAeq, const std::string& criterion) {
    StudyText text;
    text.card = with(text.card, "LAeq = 108.0\nLCeq = 109.5\nLCpeak = 124.0\n",
                     "LAeq = " + std::to_string(LAeq) + "\n");
    text.plan = with(text.plan, "\"niosh-rel\", \"iec-60601-2-33\"", "\"" + criterion + "\"");
    text.plan = with(text.plan, "duration = \"8 min\"\nrepeat = 2", "duration = \"0.05 s\"");
    text.plan = with(text.plan, "wears = [\"foam\"]", "wears = []");
    const StudyFolder study(text);
    const Outcome outcome = run_program({"assess", "plan.toml", "--format", "json"}, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return json::parse(outcome.output)["people"][0]["criteria"][0];
}

bool says_not_permitted(const json& result) {
    return result.value("remark", "").find("not permitted for any time") != std::string::npos;
}

}  // namespace

TEST_CASE("at a criterion's ceiling nothing is forbidden yet, above it everything is") {
    // NIOSH 98-126, 140 dB(A); 0.05 s of it are half of the dose that is allowed.
    const json at = result_at(140.0, "niosh-rel");
    CHECK(at["verdict"] != "over");
    CHECK(!says_not_permitted(at));
    const json above = result_at(140.001, "niosh-rel");
    CHECK(above["value"] < 100.0);
    CHECK(above["verdict"] == "over");
    CHECK(says_not_permitted(above));
}

TEST_CASE("a check of a card is doubtful beyond its threshold and not at it") {
    const std::string levels = "LAeq = 108.0\nLCeq = 109.5\nLCpeak = 124.0\n";
    struct Row {
        std::string old, fresh;
        const char* code;
        const char* state;
    };
    const std::vector<Row> rows = {
        // A sine's crest is 3.01 dB, printed as 3; above 30 dB a single event made the peak.
        {"LCpeak = 124.0", "LCpeak = 112.4", "peak-above-average", "doubtful"},
        {"LCpeak = 124.0", "LCpeak = 112.5", "peak-above-average", "ok"},
        {"LCpeak = 124.0", "LCpeak = 139.5", "peak-above-average", "ok"},
        {"LCpeak = 124.0", "LCpeak = 139.6", "peak-above-average", "doubtful"},
        // A class 1 instrument alone has 0.7 dB; above 3 dB a level says little.
        {"uncertainty = 1.5", "uncertainty = 0.7", "uncertainty", "ok"},
        {"uncertainty = 1.5", "uncertainty = 0.69", "uncertainty", "doubtful"},
        {"uncertainty = 1.5", "uncertainty = 3.0", "uncertainty", "ok"},
        {"uncertainty = 1.5", "uncertainty = 3.01", "uncertainty", "doubtful"},
        // H, M and L are for −2 to 10 dB.
        {"LCeq = 109.5", "LCeq = 106.0", "LC-minus-LA", "ok"},
        {"LCeq = 109.5", "LCeq = 118.0", "LC-minus-LA", "ok"},
        {"LCeq = 109.5", "LCeq = 118.1", "LC-minus-LA", "doubtful"},
        // Published measurements span 82.5 to 132 dB(A).
        {levels, "LAeq = 82.5\n", "level-range", "ok"},
        {levels, "LAeq = 82.4\n", "level-range", "doubtful"},
        {levels, "LAeq = 132.0\n", "level-range", "ok"},
        {levels, "LAeq = 132.1\n", "level-range", "doubtful"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.fresh);
        StudyText text;
        text.card = with(text.card, row.old, row.fresh);
        CHECK(check_named(reviewed_json(text)["sequences"][0], row.code)["state"] == row.state);
    }
}

TEST_CASE("between a silent day and another there is no change in decibels") {
    StudyText silent;
    silent.plan = with(silent.plan, "[background]\nLAeq = 68.0\n", "");
    silent.plan = with(silent.plan, "sequence = \"epi\"\nduration = \"8 min\"\nrepeat = 2",
                       "rest = \"16 min\"");
    const StudyText loud;
    const StudyFolder study(loud);
    static_cast<void>(study.folder().write("silent.toml", silent.plan));
    for (const auto& [now, before] :
         {std::pair{"plan.toml", "silent.toml"}, std::pair{"silent.toml", "plan.toml"},
          std::pair{"plan.toml", "plan.toml"}}) {
        CAPTURE(now);
        const Outcome outcome =
            run_program({"assess", now, "--against", before, "--format", "json"}, study.root());
        CAPTURE(outcome.errors);
        REQUIRE(outcome.status <= 1);
        const json person = json::parse(outcome.output)["against"]["people"][0];
        if (std::string(now) == before) {
            CHECK(near(person["change_dB"], 0.0, 1e-9, Because::Arithmetic));
        } else {
            CHECK(person["change_dB"].is_null());
        }
    }
}
