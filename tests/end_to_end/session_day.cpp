// A day at the scanner, told as it happens.
#include <string>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "end_to_end/session_desk.hpp"
#include "support/near.hpp"
#include "support/study_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Json = nlohmann::json;
constexpr Seconds minute{60.0};

double at_ear(const Json& entry) { return entry.at("at_ear_LAeq_dB"); }

}  // namespace

TEST_CASE(
    "a day: start, wear, checked, runs, a repeat after motion, a run broken off, an event, end") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    const std::string started =
        desk.tell({"start", demo_plan, "--person", "pilot-a", "--as", "P-0417", "--by", "S-0003"});
    CHECK(started.starts_with("1\nSession 1 of P-0417"));
    CHECK(holds(started, "stops at once and is referred"));
    CHECK(holds(started, "nothing was measured in"));
    const unsigned before = left_of(desk.ask({"next"}), "epi-2mm").at("runs_left");

    desk.wait(minute);
    CHECK(holds(desk.tell({"wear", "formable"}), "Check both ears"));
    desk.tell({"checked", "left", "--how", "looked"});
    // Recorded, and said.
    const Json early = desk.ask({"run", "localiser", "--for", "20 s"});
    CHECK(has_note(early, "ears-unchecked"));
    CHECK(holds(early.at("notes").dump(), "The right ear"));
    desk.wait(Seconds(20.0));
    desk.tell({"checked", "right"});
    const Json first = desk.ask({"run", "epi-2mm", "--for", "12m"});
    CHECK(!has_note(first, "ears-unchecked"));
    REQUIRE(first.at("entries").size() == 1);
    CHECK(first.at("entries")[0].at("kind") == "run");
    CHECK(first.at("entries")[0].at("from") == "2024-11-25T08:01:20+01:00");
    CHECK(first.at("entries")[0].at("to_UTC") == "2024-11-25T07:13:20Z");
    desk.wait(12.0 * minute);

    // Moved: once more, and broken off.
    const Json begun = desk.ask({"run", "epi-2mm"});
    CHECK(begun.at("entries")[0].at("kind") == "run-start");
    desk.wait(2.0 * minute);
    CHECK(has_note(desk.ask({"show"}), "unconfirmed"));
    const Json stopped = desk.ask({"run", "epi-2mm", "--stopped", "2m10s"});
    CHECK(stopped.at("entries")[0].at("kind") == "run");
    CHECK(stopped.at("entries")[0].at("from") == begun.at("entries")[0].at("from"));
    CHECK(!has_note(stopped, "unconfirmed"));
    desk.wait(minute);

    const Json after = desk.ask({"next"});
    CHECK(left_of(after, "epi-2mm").at("runs_left").get<unsigned>() < before);
    CHECK(left_of(after, "epi-2mm").at("limited_by") == "niosh-rel");
    desk.tell({"event", "plug-loose", "--note", "the left one"});
    const Json loose = desk.ask({"run", "gre-3d", "--for", "1 min"});
    CHECK(has_note(loose, "ears-unchecked"));
    desk.wait(minute);
    const Json poorly = desk.ask({"wear", "formable", "--poor-fit"});
    CHECK(poorly.at("entries")[0].at("kind") == "wear");
    desk.tell({"checked", "both"});
    const Json poor = desk.ask({"run", "gre-3d", "--for", "1 min"});
    CHECK(at_ear(poor.at("entries")[0]) > at_ear(loose.at("entries")[0]) + 5.0);
    desk.wait(minute);
    CHECK(holds(desk.tell({"end"}), "session-end"));
    CHECK(holds(desk.refused({"run", "gre-3d"}), "no open session"));

    const Json show = desk.ask({"show"});
    CHECK(show.at("ends") == desk.ask({"show"}).at("at"));
    double epi_s = 0.0;
    for (const Json& one : show.at("heard")) {
        CHECK(!one.at("unconfirmed").get<bool>());
        if (one.at("name") == "epi-2mm") epi_s += one.at("seconds").get<double>();
    }
    CHECK(near(epi_s, 720.0 + 130.0, 1e-9, Because::Arithmetic));
}

TEST_CASE(
    "a run that was started counts until something is told, unconfirmed, and is asked about") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-a", "P-0417");
    desk.tell({"wear", "formable"});
    desk.tell({"checked", "both"});
    desk.tell({"run", "epi-2mm"});
    desk.wait(5.0 * minute);
    Json show = desk.ask({"show"});
    REQUIRE(show.at("heard").size() == 1);
    CHECK(show.at("heard")[0].at("unconfirmed") == true);
    // At least as long as it was to last.
    CHECK(show.at("heard")[0].at("seconds") == 720.0);
    CHECK(holds(show.at("notes").dump(), "How long did it run?"));
    const std::int64_t entry = show.at("heard")[0].at("entry");
    // What comes next says that it is over.
    CHECK(holds(desk.tell({"run", "gre-3d", "--for", "6 min"}), "How long did it run?"));
    desk.wait(6.0 * minute);
    show = desk.ask({"show"});
    CHECK(show.at("heard")[0].at("seconds") == 300.0);
    CHECK(desk.ask({"next"}).at("unconfirmed") == Json::array({entry}));
    desk.tell({"run", "spin-echo"});
    desk.wait(minute);
    CHECK(desk.ask({"run", "--stop"}).at("entries")[0].at("kind") == "run");
    const std::string none = desk.refused({"run", "--stop"});
    CHECK(holds(none, "no run goes on"));
    CHECK(holds(none, fmt::format("earbudget session correct {} --for TIME", desk.entries())));
    const Outcome right = desk.run(
        {"correct", std::to_string(entry), "--for", "4 min", "--why", "read from the console"});
    CHECK(right.status == 0);
    show = desk.ask({"show"});
    CHECK(show.at("heard")[0].at("seconds") == 240.0);
    CHECK(show.at("heard")[0].at("unconfirmed") == false);
    CHECK(!has_note(show, "unconfirmed"));
}

TEST_CASE("pain ends the session, says what to do, and nothing may follow until it is cleared") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-a", "P-0417");
    desk.tell({"run", "gre-3d"});
    desk.wait(minute);
    const std::string told = desk.tell({"event", "ringing", "--note", "both ears"});
    CHECK(holds(told, "STOP"));
    CHECK(holds(told, "has ended with this"));
    CHECK(holds(desk.ask({"show"}).at("notes").dump(),
                "Anyone with pain, ringing or dulled hearing stops at once and is referred"));
    CHECK(holds(desk.refused({"wear", "formable"}), "no open session"));
    const auto check_stopped = [&](const Json& next) {
        for (const Json& left : next.at("sequences")) {
            CHECK(left.at("runs_left") == 0);
            CHECK(left.at("runs_left_best_estimate") == 0);
            CHECK(left.at("limited_by") == "stopped");
        }
        CHECK(has_note(next, "stopped"));
    };
    check_stopped(desk.ask({"next"}));
    CHECK(desk.run_now({"next"}).status == 1);
    // Weeks later too, in another session.
    desk.wait(Seconds(40.0 * 86'400.0));
    desk.start(demo_plan, "pilot-a", "P-0417");
    check_stopped(desk.ask({"next"}));
    const Json cleared = desk.ask({"event", "--cleared-by", "M-0001"});
    CHECK(cleared.at("entries")[0].at("kind") == "clearance");
    CHECK(left_of(desk.ask({"next"}), "gre-3d").at("runs_left") > 0);
}

TEST_CASE("what was not planned can run, by its card") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-a", "P-0417");
    std::string text = content_of(EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/cards/gre-3d.toml");
    const std::size_t at = text.find("\"gre-3d\"");
    REQUIRE(at != std::string::npos);
    const std::string card =
        desk.folder().write("other/extra.toml", text.replace(at, 8, "\"extra\""));
    const Json next = desk.ask({"next", "--card", card, "--for", "6 min"});
    REQUIRE(next.at("sequences").size() == 1);
    const Json planned = left_of(desk.ask({"next"}), "gre-3d");
    CHECK(next.at("sequences")[0].at("runs_left") == planned.at("runs_left"));
    CHECK(has_note(desk.ask({"next", "--card", card}), "run-of-a-minute"));
    const Json ran = desk.ask({"run", "--card", card, "--for", "2 min"});
    CHECK(holds(ran.at("entries")[0].at("what").get<std::string>(), "extra"));
    CHECK(holds(desk.refused({"run", "extra", "--for", "2 min"}), "has no sequence \"extra\""));
}

TEST_CASE("two operators tell one session at once, and nothing is lost") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-a", "P-0417", {"--by", "S-0003"});
    const std::string tell = std::string(EARBUDGET_PROGRAM) + " session checked both --register " +
                             desk.file() + " --at " + desk.clock() + " --by ";
    const std::string both = "for n in 1 2 3 4 5; do " + tell +
                             "S-0003 >/dev/null || exit 1; done & "
                             "for n in 1 2 3 4 5; do " +
                             tell +
                             "S-0004 >/dev/null || exit 1; done; "
                             "wait $!";
    CHECK(run_other("sh", {"-c", both}).status == 0);
    CHECK(desk.entries() == 11);
    const Json show = desk.ask({"show"});
    CHECK(show.at("entries").size() == 11);
    const auto verified = registers::Register::open(desk.file(), registers::Access::Read).verify();
    CHECK(verified.is_intact());
}

TEST_CASE("what is worn is not told of a time whose runs were computed with something else") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-b", "P-0418");
    desk.tell({"run", "epi-2mm", "--for", "12m"});
    desk.wait(5.0 * minute);
    CHECK(holds(desk.refused({"wear", "--nothing"}), "correct 2 --never"));
    desk.wait(7.0 * minute);
    const std::int64_t wear = desk.entries() + 1;
    desk.tell({"wear", "flanged-small", "muff-slim"});
    desk.tell({"run", "epi-2mm"});
    desk.wait(minute);
    CHECK(holds(desk.refused({"wear", "flanged-small", "--poor-fit"}), "a run goes on"));
    desk.tell({"run", "--stop"});
    const Outcome taken_back =
        desk.run({"correct", std::to_string(wear), "--never", "--why", "the muff was not on"});
    CHECK(taken_back.status == 2);
    CHECK(holds(taken_back.errors, "computed with it"));
}

TEST_CASE("whoever is there and must stop is named, and does not start by a plan either") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-a", "P-0417", {"--present", "companion=A-0007"});
    desk.tell({"event", "ringing", "--as", "A-0007"});
    desk.wait(minute);
    const Json again = desk.ask({"start", demo_plan, "--person", "pilot-a", "--as", "P-0417",
                                 "--present", "companion=A-0007"});
    CHECK(has_note(again, "stopped"));
    const Json run = desk.ask({"run", "localiser", "--for", "20 s"});
    CHECK(has_note(run, "stopped"));
    CHECK(holds(run.at("notes").dump(), "A-0007"));
    CHECK(has_note(desk.ask({"next"}), "stopped"));
    desk.wait(minute);
    desk.tell({"event", "pain"});
    const Outcome planned = run_short({"assess", demo_plan, "--register", desk.file(), "--as",
                                       "pilot-a=P-0417", "--at", desk.clock()});
    CHECK(planned.status == 1);
    CHECK(holds(planned.output, "DO NOT START: pilot-a (P-0417)"));
}

TEST_CASE("a run that no method reaches says why it counts unreduced") {
    StudyText text;
    text.card = with(text.card, "LCeq = 109.5\n", "");
    text.plan = with(text.plan, "method = \"nrr\"", "method = \"snr\"");
    const StudyFolder study(text);
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(study.root() + "plan.toml", "participant", "P-0417");
    const std::string told = desk.ask({"run", "epi", "--for", "8 min"}).at("entries")[0].at("what");
    CHECK(holds(told, "108.0 dB(A) at the ear"));
    CHECK(holds(told, "unreduced at the ear: "));
    CHECK(holds(told, "LCeq"));
}

TEST_CASE("a plan whose protector does not suit, and nothing else does, is no plan to start by") {
    StudyText text;
    text.card = with(with(text.card, "LAeq = 108.0", "LAeq = 88.0"), "109.5", "89.5");
    text.protectors =
        "kind = \"protectors\"\nformat = 1\n[[protector]]\nid = \"muff\"\ntype = "
        "\"earmuff\"\nmetal_free = true\nfits_head_coil = false\nNRR = 20\n";
    text.plan = with(with(text.plan, "[\"foam\"]", "[\"muff\"]"), "LAeq = 68.0", "LAeq = 40.0");
    const StudyFolder none(text);
    for (const char* format : {"text", "json", "html", "csv"}) {
        const Outcome refused =
            run_short({"assess", none.root() + "plan.toml", "--format", format});
        CHECK(refused.status == 1);
    }
    CHECK(holds(run_short({"assess", none.root() + "plan.toml"}).output, "Within every limit"));
    // What else there is may be handed out.
    text.protectors +=
        "[[protector]]\nid = \"foam\"\ntype = \"foam-plug\"\nmetal_free = "
        "true\nNRR = 26\n";
    const StudyFolder other(text);
    CHECK(run_short({"assess", other.root() + "plan.toml"}).status == 0);
}
