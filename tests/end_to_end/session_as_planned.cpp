// After all ran as planned a session says what the plan's own assessment does.
#include <algorithm>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/session_desk.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Json = nlohmann::json;

Json assessed(const std::vector<std::string>& more = {}) {
    std::vector<std::string> words = {"assess", demo_plan, "--format", "json"};
    words.insert(words.end(), more.begin(), more.end());
    return Json::parse(run_short(words).output);
}

Json person_of(const Json& answer, const std::string& id) {
    for (const Json& person : answer.at("people"))
        if (person.at("id") == id) return person;
    return nullptr;
}

void check_same_criteria(const Json& found, const Json& planned) {
    REQUIRE(found.size() == planned.size());
    for (std::size_t n = 0; n < found.size(); ++n) {
        CAPTURE(planned[n].dump());
        for (const char* key : {"id", "quantity", "unit", "limit", "at_ear", "verdict", "decides"})
            CHECK(found[n].at(key) == planned[n].at(key));
        const double value = planned[n].at("value").get<double>();
        CHECK(near(found[n].at("value").get<double>(), value, 1e-9 * std::max(1.0, value),
                   Because::Arithmetic));
        CHECK(near(found[n].at("margin_dB").get<double>(), planned[n].at("margin_dB").get<double>(),
                   1e-9, Because::Arithmetic));
        CHECK(near(found[n].at("probability_over").get<double>(),
                   planned[n].at("probability_over").get<double>(), 0.01,
                   Because::SeededRandomness));
    }
}

}  // namespace

TEST_CASE(
    "a session that ran as planned is judged as the plan is, for who is in it and beside it") {
    const Plan plan = files::read_plan(demo_plan).plan;
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-a", "P-0417", {"--present", "companion=A-0007"});
    desk.tell({"wear", "formable"});
    desk.tell({"checked", "both"});
    desk.run_as_planned(plan);
    desk.tell({"end"});
    const Json planned = assessed();
    for (const auto& [id, as] : {std::pair{"pilot-a", "P-0417"}, {"companion", "A-0007"}}) {
        CAPTURE(id);
        const Json person = person_of(planned, id);
        const Json show = desk.ask({"show", "--as", as});
        CHECK(show.at("verdict") == person.at("verdict"));
        check_same_criteria(show.at("criteria"), person.at("criteria"));
        for (const char* key : {"LEX_8h_dB", "at_ear_LEX_8h_dB"})
            CHECK(near(show.at("exposure").at(key).get<double>(),
                       person.at("exposure").at(key).get<double>(), 1e-9, Because::Arithmetic));
    }
    const Json next = desk.ask({"next"});
    check_same_criteria(next.at("criteria"), person_of(planned, "pilot-a").at("criteria"));
    CHECK(next.at("sequences").size() == 6);
    const Json pilot = person_of(planned, "pilot-a");
    for (const Json& segment : pilot.at("segments")) {
        if (segment.at("sequence").is_null()) continue;
        CAPTURE(segment.dump());
        const Json left = left_of(next, segment.at("sequence"));
        CHECK(left.at("runs_left_best_estimate") == segment.at("repeats_left_best_estimate"));
        const int runs = left.at("runs_left"), repeats = segment.at("repeats_left");
        CHECK(std::abs(runs - repeats) <= 1 + repeats / 100);
    }
}

TEST_CASE(
    "an assessment starts from what was heard: nothing changes nothing, the plan twice is double") {
    const Plan plan = files::read_plan(demo_plan).plan;
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-a", "P-0417");
    const Json planned = person_of(assessed(), "pilot-a");
    const std::vector<std::string> from = {"--register", desk.file(), "--as", "pilot-a=P-0417"};
    const auto started = [&] {
        std::vector<std::string> more = from;
        more.insert(more.end(), {"--at", desk.clock()});
        return assessed(more);
    };
    check_same_criteria(person_of(started(), "pilot-a").at("criteria"), planned.at("criteria"));
    desk.run_as_planned(plan);
    const Json answer = started();
    const Json twice = person_of(answer, "pilot-a");
    CHECK(twice.at("criteria")[0].at("id") == "niosh-rel");
    const double once = planned.at("criteria")[0].at("value");
    CHECK(near(twice.at("criteria")[0].at("value").get<double>(), 2.0 * once, 1e-9 * once,
               Because::Arithmetic));
    const Json so_far = answer.at("started_from").at("people")[0];
    CHECK(so_far.at("id") == "pilot-a");
    CHECK(so_far.at("as") == "P-0417");
    CHECK(near(so_far.at("criteria")[0].at("value").get<double>(), once, 1e-9 * once,
               Because::Arithmetic));
    // Nobody else is changed.
    CHECK(person_of(answer, "pilot-b") == person_of(assessed(), "pilot-b"));
    const std::vector<std::string> text = {"assess",    demo_plan, "--register",
                                           desk.file(), "--as",    "pilot-a=P-0417"};
    CHECK(holds(run_short(text).output, "P-0417"));
}

TEST_CASE("what an assessment cannot start from is refused") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-a", "P-0417");
    const auto message = [&](const std::vector<std::string>& more) {
        std::vector<std::string> words = {"assess", demo_plan};
        words.insert(words.end(), more.begin(), more.end());
        return desk.refusal(run_short(words));
    };
    CHECK(holds(message({"--register", desk.file()}), "--as"));
    CHECK(holds(message({"--as", "pilot-a=P-0417"}), "--register"));
    CHECK(holds(message({"--register", desk.file(), "--as", "pilot-a"}), "pilot-a=P-0417"));
    CHECK(holds(message({"--register", desk.file(), "--as", "pilot-x=P-0417"}),
                "\"pilot-x\", the nearest known is \"pilot-"));
    CHECK(holds(message({"--register", desk.file(), "--as", "pilot-a=P-9999"}), "P-9999"));
    CHECK(holds(
        message({"--register", desk.file(), "--as", "pilot-a=P-0417", "--against", demo_plan}),
        "--against"));
}
