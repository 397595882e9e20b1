// People alike are answered for once; everyone must read what they would read were nobody like
// them. A number of visits changes one person's total over the study alone, and makes two people
// unlike.
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string demo_people = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/";

struct Kind {
    const char* name;
    std::string more;
    std::string method = "octave";  // empty: the plan states none
    bool undefined = false;         // refused by every command
};

// The ids: a letter that texts are full of, one that is a part of another, one with a sign.
const std::vector<std::string> ids = {"a", "pilot", "pilot-2"};

std::string person(const std::string& id, int visits, const std::string& more) {
    return "[[person]]\nid = \"" + id +
           "\"\nrole = \"participant\"\nvisits = " + std::to_string(visits) + "\n" + more + "\n";
}

/// The demo's protocol for three people; each has that many visits.
std::string plan_for(const Kind& kind, const std::vector<int>& visits) {
    const std::string all = content_of(demo_people + "plan.toml");
    std::string plan = all.substr(0, all.find("[[person]]"));
    const std::size_t method = plan.find("method = ");
    const std::size_t end = plan.find("protection_performance");
    plan.replace(method, end - method,
                 kind.method.empty() ? "" : "method = \"" + kind.method + "\"\n");
    for (const char* key : {"sequences = \"", "protectors = \"", "site = \""})
        plan.insert(plan.find(key) + std::string(key).size(), demo_people);
    for (std::size_t n = 0; n < ids.size(); ++n)
        plan += person(ids[n], visits[n], kind.more);
    return plan;
}

/// A report, without what the number of visits may change.
std::string answer(const std::string& command, const Kind& kind, const std::vector<int>& visits) {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("plan.toml", plan_for(kind, visits)));
    const Outcome outcome = run_program(
        {command, "plan.toml", "--format", "json", "--date", "2026-01-31"}, folder.path(""));
    std::string text = std::to_string(outcome.status) + "\n" + outcome.errors;
    if (outcome.output.empty()) return text;
    json report = json::parse(outcome.output);
    report.erase("inputs");
    report.erase("fingerprint");
    report.at("plan").erase("sha256");
    std::size_t people = 0;
    for (json& one : report.at("people")) {
        one.erase("visits");
        one.erase("study_at_ear_Pa2h");
        ++people;
    }
    CHECK(people == ids.size());
    return text + report.dump(1);
}

const std::vector<Kind> kinds = {
    {"within", "wears = [\"formable\"]"},
    {"with canals", "wears = [\"flanged-small\"]\ncannot_wear = [\"formable\"]\ncanal = \"small\""},
    {"metal in the bore", "wears = [\"muff-wide\"]"},
    {"nothing worn", "wears = []"},
    {"fit-tested", "wears = [\"formable\"]\nPAR = 21\nPAR_uncertainty = 3"},
    {"now and then", "wears = [\"formable\"]\nfit = \"poor\"\nworn = 0.8\nworn_uncertainty = 0.1"},
    {"not what is agreed to", "wears = [\"muff-slim\"]\nonly = \"plugs\""},
    {"a pair, over",
     "wears = [\"formable\", \"muff-slim\"]\nsessions_per_day = 9\n"
     "days_per_week = 5\nfit_uncertainty = 2"},
    {"no criterion for them", "wears = [\"formable\"]\ncriteria = [\"eu-limit\"]"},
    {"an own criterion", "wears = [\"formable\"]\ncriteria = [\"who-public-adult\"]"},
    {"the plan states no method", "wears = [\"formable\"]", ""},
    {"each states a method", "wears = [\"formable\"]\nmethod = \"snr\"", ""},
    {"each states a method that the derating is not for",
     "wears = [\"formable\"]\nmethod = \"snr\"\nderating = \"niosh\"", "", true},
    {"no data for the method", "wears = [\"formable\"]", "slc80"},
};

}  // namespace

TEST_CASE("everyone alike reads what they would read were nobody like them") {
    for (const char* command : {"assess", "choose"}) {
        for (const Kind& kind : kinds) {
            CAPTURE(command);
            CAPTURE(kind.name);
            const std::string alike = answer(command, kind, {2, 2, 2});
            CHECK(alike == answer(command, kind, {2, 3, 4}));
            // Two alike, not neighbours.
            CHECK(alike == answer(command, kind, {2, 3, 2}));
            CHECK(alike.find("\\u0001") == std::string::npos);
            if (kind.undefined) CHECK(alike.starts_with("2\n"));
            if (!kind.undefined) CHECK(alike.size() > 1000);
        }
    }
}

TEST_CASE("people alike are each named in their warnings, and nowhere in words of their own") {
    const std::string alike = answer("assess", kinds[4], {2, 2, 2});
    for (const std::string& id : ids) {
        CAPTURE(id);
        CHECK(alike.find("\"people\": [\n    \"" + id + "\"") != std::string::npos);
        CHECK(alike.find("\"" + id + ": the fit test") != std::string::npos);
    }
    for (const Kind& kind : kinds) {
        if (kind.undefined) continue;
        for (json& one : json::parse(answer("choose", kind, {2, 2, 2}).substr(2))["people"]) {
            one.erase("id");
            CHECK(one.dump().find("pilot") == std::string::npos);
        }
    }
}
