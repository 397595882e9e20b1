// A session from its beginning to its end, through a register.
#include "sessions/session.hpp"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "files/study_files.hpp"
#include "register/register.hpp"
#include "sessions/next.hpp"
#include "support/judged_by.hpp"
#include "support/near.hpp"
#include "support/session_log.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;
using registers::Access;
using registers::Register;

namespace {

/// A register with a clock of its own.
class Desk {
  public:
    explicit Desk(const std::string& path) : register_(opened(path)) {}

    [[nodiscard]] sessions::Recording with(std::int64_t session) const {
        return {plan, provenance, session, now, 60, "OP-1"};
    }
    void append(const std::vector<registers::NewEntry>& entries) {
        register_.in_one([&] {
            for (const auto& entry : entries)
                register_.append(entry);
        });
    }
    [[nodiscard]] sessions::Session session(std::int64_t number) {
        return sessions::session_of(register_.of_session(number), cache).value();
    }
    [[nodiscard]] std::vector<registers::Entry> of(const std::string& code) const {
        return register_.of_person(code, {now.ms - 86400000}, {now.ms + 86400000});
    }
    [[nodiscard]] sessions::HeardByPerson heard(const std::string& code) {
        return sessions::heard_by(of(code), now, cache);
    }
    [[nodiscard]] const Person& person(const char* id) const {
        return *std::ranges::find(plan.people, id, &Person::id);
    }
    void wait(double seconds) { now.ms += static_cast<std::int64_t>(seconds * 1000.0); }

    Plan plan =
        files::read_plan(std::string(EARBUDGET_SOURCE_DIR) + "/sequences/saltmarsh/plan.toml").plan;
    sessions::Provenance provenance = {"test", {{"plan.toml", "00"}}};
    sessions::PlanRef ref = {"plan.toml", "Harbour pilots", "00", {}};
    sessions::FileHash card = {"card.toml", "11"};
    sessions::RecordCache cache = {};
    Instant now = at("2026-11-23T09:00:00+01:00");

  private:
    static Register opened(const std::string& path) {
        Register::create(path, {.title = "test", .time_zone = "Europe/Berlin"});
        return Register::open(path, Access::Write);
    }
    Register register_;
};

double seconds_of(const sessions::HeardByPerson& heard, sessions::HeardKind kind) {
    double seconds = 0.0;
    for (const auto& part : heard.parts)
        if (part.kind == kind) seconds += part.when.time().count();
    return seconds;
}

}  // namespace

TEST_CASE("a session that ran as planned is the plan's own assessment, read from a register") {
    const TemporaryFolder folder;
    Desk desk(folder.path("heard.register"));
    const Person& pilot = desk.person("pilot-a");
    desk.append({sessions::entry_of_start(desk.with(1), "P-0417", pilot, desk.ref)});
    for (const TimelineRow& row : desk.plan.timeline) {
        for (unsigned n = 0; n < row.repeat; ++n) {
            if (row.sequence)
                desk.append(sessions::entries_of_run(desk.with(1), desk.session(1), *row.sequence,
                                                     row.duration, desk.card));
            desk.wait(row.duration.count());
        }
    }
    desk.append(sessions::entries_of_end(desk.with(1), desk.session(1)));
    CHECK(desk.session(1).ends == desk.now);
    const auto calendar = sessions::Calendar::of("Europe/Berlin").value();
    sessions::Judge judge(calendar);
    const auto judged =
        judge.now(desk.heard("P-0417").parts, calendar.day_of(desk.now), Role::Participant);
    const Assessment planned = assess_verdicts(desk.plan);
    REQUIRE(judged->criteria.size() == planned.people.front().criteria.size());
    for (std::size_t n = 0; n < judged->criteria.size(); ++n) {
        const CriterionResult& own = planned.people.front().criteria[n];
        CHECK(
            near(judged->criteria[n].value.value(), own.value.value(), 1e-9, Because::Arithmetic));
        CHECK(near(judged->criteria[n].probability_over.value(), own.probability_over.value(), 0.01,
                   Because::SeededRandomness));
    }
    for (const auto& entry : desk.of("P-0417"))
        CHECK(entry.body.find("P-0417") == std::string::npos);
}

TEST_CASE("what begins, is stopped, worn anew, hurts and is cleared") {
    const TemporaryFolder folder;
    Desk desk(folder.path("heard.register"));
    const Person& pilot = desk.person("pilot-a");
    const std::size_t epi = sessions::sequence_named(desk.plan, "epi-2mm").value();
    desk.append({sessions::entry_of_start(desk.with(1), "P-0417", pilot, desk.ref)});
    desk.append(sessions::entries_of_presence(desk.with(1), "S-0001", desk.person("operator"), {}));
    CHECK(desk.session(1).present.contains("S-0001"));
    const auto tasks = desk.heard("S-0001");
    CHECK(seconds_of(tasks, sessions::HeardKind::Task) == 600.0 + 900.0);
    desk.wait(1500.0);

    desk.append(sessions::entries_of_run_start(desk.with(1), desk.session(1), epi, Seconds(720.0),
                                               desk.card));
    CHECK(desk.session(1).open.size() == 2);
    CHECK(seconds_of(desk.heard("P-0417"), sessions::HeardKind::Run) == 720.0);
    CHECK(seconds_of(desk.heard("S-0001"), sessions::HeardKind::Run) == 720.0);
    desk.wait(130.0);
    desk.append(sessions::entries_of_run_stop(desk.with(1), desk.session(1)));
    CHECK(desk.session(1).open.empty());
    CHECK(seconds_of(desk.heard("P-0417"), sessions::HeardKind::Run) == 130.0);
    CHECK(seconds_of(desk.heard("S-0001"), sessions::HeardKind::Run) == 130.0);

    desk.append({sessions::entry_of_wear(desk.with(1), "P-0417", pilot, {})});
    CHECK(desk.session(1).person(desk.plan, "P-0417").wears.empty());
    desk.append(
        sessions::entries_of_run(desk.with(1), desk.session(1), epi, Seconds(10.0), desk.card));
    const auto bare = desk.heard("P-0417").parts;
    const auto last = std::ranges::max_element(bare, {}, [](const sessions::Heard& part) {
        return std::pair(part.when.from, part.kind == sessions::HeardKind::Run);
    });
    CHECK(last->exposure->day.rows.front().at_ear == last->exposure->day.rows.front().outside());
    desk.wait(10.0);

    desk.append(sessions::entries_of_run_start(desk.with(1), desk.session(1), epi, Seconds(720.0),
                                               desk.card));
    desk.wait(20.0);
    desk.append(sessions::entries_of_event(desk.with(1), desk.session(1),
                                           {sessions::EventKind::Ringing, "left ear"}));
    CHECK(desk.session(1).ends == desk.now);
    CHECK(desk.session(1).open.empty());
    CHECK(seconds_of(desk.heard("P-0417"), sessions::HeardKind::Run) == 160.0);
    const auto hurt = desk.heard("P-0417");
    REQUIRE(hurt.stop() != nullptr);
    CHECK(hurt.stop()->note == "left ear");
    desk.append({sessions::entry_of_clearance(desk.with(1), "P-0417", hurt.stop()->entry)});
    CHECK(desk.heard("P-0417").stop() == nullptr);
}

TEST_CASE("what is done once a day is done in the first session of the day") {
    const TemporaryFolder folder;
    Desk desk(folder.path("heard.register"));
    Person& operator_ = *std::ranges::find(desk.plan.people, "operator", &Person::id);
    operator_.tasks.push_back(
        {.position = 1, .once_a_day = true});  // the timeline, beside the bore
    desk.append(
        {sessions::entry_of_start(desk.with(1), "P-0417", desk.person("pilot-a"), desk.ref)});
    desk.append(sessions::entries_of_presence(desk.with(1), "S-0001", operator_, {}));
    const auto rows_of_run = [&](const std::vector<std::string>& seen_today) {
        sessions::Recording with = desk.with(1);
        with.seen_today = seen_today;
        const auto entries =
            sessions::entries_of_run(with, desk.session(1), 0, Seconds(20.0), desk.card);
        REQUIRE(entries.size() == 2);
        CHECK(entries[1].as == "S-0001");
        return sessions::read_run(entries[1].body, desk.cache)->exposure->day.rows.size();
    };
    CHECK(rows_of_run({}) == 2);
    CHECK(rows_of_run({"S-0001"}) == 1);
    // The phantom run of the morning is not done twice.
    const auto again = sessions::entries_of_presence(desk.with(1), "S-0001", operator_,
                                                     {"phantom run in the morning"});
    CHECK(again.size() == 2);
}
