// Recording and telling: persons, times, corrections, links.
#include <stdexcept>

#include "support/register_file.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

constexpr Instant long_ago{0};
constexpr Instant far_off{4'000'000'000'000};

std::vector<std::int64_t> numbers(const std::vector<Entry>& entries) {
    std::vector<std::int64_t> all;
    for (const Entry& entry : entries)
        all.push_back(entry.n);
    return all;
}

NewEntry correction_of(std::int64_t n, const std::string& kind, Instant from, Instant to) {
    return {.kind = EntryKind::Correction,
            .by = "operator-2",
            .from = from,
            .to = to,
            .corrects = n,
            .body = "{\"why\":\"typed wrongly\",\"kind\":" + kind + ",\"sequence\":\"mprage\"}"};
}

}  // namespace

TEST_CASE("what is recorded is told as it was") {
    const RegisterFolder folder;
    NewEntry run = some_run("P-1", 2, 7);
    run.body = "{\"sequence\":\"épi \\u0000 \\\"quoted\\\"\"}";
    const Instant before = now();
    {
        auto target = folder.open();
        CHECK(target.append(run) == 1);
        CHECK(target.append({.kind = EntryKind::Import, .from = {5}, .to = {5}}) == 2);
    }
    const auto target = folder.open(Access::Read);
    CHECK(target.settings().title == "Saltmarsh");
    CHECK(target.settings().time_zone == "Europe/Berlin");
    CHECK(!target.settings().retention_days);
    const auto entries = target.of_person("P-1", long_ago, far_off);
    REQUIRE(entries.size() == 1);
    const Entry& entry = entries[0];
    CHECK(entry.n == 1);
    CHECK(entry.kind == EntryKind::Run);
    CHECK(entry.as == "P-1");
    CHECK(entry.by == "operator-1");
    CHECK(entry.session == 7);
    CHECK(entry.from == run.from);
    CHECK(entry.to == run.to);
    CHECK(entry.offset_minutes == 60);
    CHECK(entry.body == run.body);
    CHECK(entry.recorded >= before);
    CHECK(entry.recorded <= now());
    CHECK(!entry.corrects);
    CHECK(target.of_person("P-2", long_ago, far_off).empty());
    CHECK(target.of_person("operator-1", long_ago, far_off).empty());
    CHECK(target.codes() == std::vector<std::string>{"operator-1", "P-1"});
    CHECK(target.newest_session() == 7);
}

TEST_CASE("a time holds what overlaps it, its end left out") {
    const RegisterFolder folder;
    auto target = folder.open();
    const auto add = [&](std::int64_t from, std::int64_t to) {
        return target.append({.kind = EntryKind::Run, .as = "P-1", .from = {from}, .to = {to}});
    };
    constexpr std::int64_t month = 31LL * 24 * 60 * minute_ms;
    const auto long_one = add(1'000 - month + 1, 1'001);
    const auto before = add(900, 1'000);
    const auto across = add(900, 1'001);
    const auto at_begin = add(1'000, 1'000);
    const auto within = add(1'500, 1'600);
    const auto across_end = add(1'999, 1'999 + month);
    const auto at_end = add(2'000, 2'000);
    const auto found = target.of_person("P-1", {1'000}, {2'000});
    CHECK(numbers(found) ==
          std::vector<std::int64_t>{long_one, across, at_begin, within, across_end});
    std::vector<Entry> streamed;
    target.each({1'000}, {2'000}, [&](const Entry& entry) { streamed.push_back(entry); });
    CHECK(numbers(streamed) == numbers(found));
    CHECK(numbers(target.of_person("P-1", long_ago, far_off)).size() == 7);
    CHECK(numbers(target.of_person("P-1", {INT64_MIN}, {INT64_MAX})).size() == 7);
    static_cast<void>(before + at_end);
    check_refusal_says([&] { add(0, month + 1); }, folder.path(), "longer than 31 days");
    check_refusal_says([&] { add(1, 0); }, folder.path(), "ends before it begins");
}

TEST_CASE("a correction stands in the place of what it corrects, which only histories tell") {
    const RegisterFolder folder;
    auto target = folder.open();
    const auto first = target.append(some_run("P-1", 0));
    const auto second = target.append(some_run("P-1", 1));
    const Instant later{a_monday_ms + 24 * 60 * minute_ms};
    const auto corrected = target.append(correction_of(first, "\"task\"", later, later));
    auto entries = target.of_person("P-1", long_ago, far_off);
    CHECK(numbers(entries) == std::vector<std::int64_t>{second, corrected});
    CHECK(entries[1].kind == EntryKind::Task);
    CHECK(entries[1].corrects == first);
    CHECK(entries[1].session == 1);
    CHECK(entries[1].as == "P-1");
    CHECK(target.of_session(1).size() == 2);
    std::vector<Entry> streamed;
    target.each(long_ago, far_off, [&](const Entry& entry) { streamed.push_back(entry); });
    CHECK(numbers(streamed) == std::vector<std::int64_t>{second, corrected});
    // Not found where it was, nor what it corrects where that was.
    CHECK(numbers(target.of_person("P-1", {a_monday_ms}, {a_monday_ms + minute_ms})).empty());
    check_refusal_says([&] { target.append(correction_of(first, "\"run\"", later, later)); },
                       folder.path(), "entry 3 stands in its place");
    const auto gone = target.append(correction_of(corrected, "null", later, later));
    CHECK(numbers(target.of_person("P-1", long_ago, far_off)) == std::vector<std::int64_t>{second});
    for (const auto n : {first, corrected, gone}) {
        const auto history = target.history(n);
        CHECK(numbers(history) == std::vector<std::int64_t>{first, corrected, gone});
        CHECK(history[1].kind == EntryKind::Correction);
    }
    CHECK(target.history(99).empty());
    CHECK(target.copy_of("P-1").entries.size() == 4);
    CHECK(target.verify().is_intact());
}

TEST_CASE("corrections that cannot be are refused") {
    const RegisterFolder folder;
    auto target = folder.open();
    const auto first = target.append(some_run("P-1", 0));
    const Instant at{a_monday_ms};
    check_refusal_says([&] { target.append(correction_of(17, "null", at, at)); }, folder.path(),
                       "entry 17 cannot be corrected: there is none");
    NewEntry about_another = correction_of(first, "\"run\"", at, at);
    about_another.as = "P-2";
    check_refusal_says([&] { target.append(about_another); }, folder.path(),
                       "it is not about \"P-2\"");
    CHECK_THROWS_AS(target.append(correction_of(first, "\"correction\"", at, at)),
                    std::invalid_argument);
    NewEntry no_reason = correction_of(first, "null", at, at);
    no_reason.body = "{\"kind\":null}";
    CHECK_THROWS_AS(target.append(no_reason), std::invalid_argument);
    NewEntry no_object = some_run("P-1", 1);
    no_object.body = "[1]";
    CHECK_THROWS_AS(target.append(no_object), std::invalid_argument);
    no_object.body = "{\"a\":{\"backup\":{\"file\":\"x\"}}}";
    CHECK_THROWS_AS(target.append(no_object), std::invalid_argument);
    CHECK_THROWS_AS(target.append({.kind = EntryKind::Erase}), std::invalid_argument);
    CHECK(target.head().n == 1);
    CHECK(!target.knows("P-2"));
}

TEST_CASE("codes: what cannot be one, and one that differs in capital letters") {
    const RegisterFolder folder;
    auto target = folder.open();
    target.append(some_run("P-1", 0));
    CHECK(target.knows("P-1"));
    CHECK(!target.knows("p-1"));
    check_refusal_says([&] { target.append(some_run("p-1", 1)); }, folder.path(), "\"P-1\" is");
    check_refusal_says([&] { target.append(some_run(" P-3", 1)); }, folder.path(),
                       "with a blank at an end");
    check_refusal_says([&] { target.append(some_run("", 1)); }, folder.path(), "empty");
    for (const char* name : {"Anna Muster", "Anna\u00a0Muster"}) {
        check_refusal_says([&] { target.append(some_run(name, 1)); }, folder.path(),
                           "holds a blank, as names do");
        auto told_by = some_run("P-1", 1);
        told_by.by = name;
        check_refusal_says([&] { target.append(told_by); }, folder.path(), "such as P-0417");
    }
    check_refusal_says([&] { static_cast<void>(target.copy_of("p-1")); }, folder.path(),
                       "accepted: \"P-1\"");
    CHECK(target.codes().size() == 2);
}

TEST_CASE("linked codes are one person, wherever they are told of, until they are parted") {
    const RegisterFolder folder;
    auto target = folder.open();
    const auto one = target.append(some_run("P-1", 0));
    const auto two = target.append(some_run("Q-1", 1));
    const auto other = target.append(some_run("R-1", 2));
    const auto link = target.link("Q-1", "P-1", "operator-1");
    const Instant begin{a_monday_ms}, end{a_monday_ms + 60 * minute_ms};
    CHECK(numbers(target.of_person("P-1", begin, end)) == std::vector<std::int64_t>{one, two});
    CHECK(numbers(target.of_person("Q-1", begin, end)) == std::vector<std::int64_t>{one, two});
    CHECK(target.of_person("Q-1", begin, end)[0].as == "P-1");
    target.link("R-1", "P-1");
    CHECK(numbers(target.of_person("Q-1", begin, end)) ==
          std::vector<std::int64_t>{one, two, other});
    CHECK(target.codes_of("R-1") == std::vector<std::string>{"P-1", "Q-1", "R-1"});
    CHECK(target.verify().is_intact());
    check_refusal_says([&] { target.link("Q-1", "R-1"); }, folder.path(), "one person already");
    check_refusal_says([&] { target.link("Q-1", "X-1"); }, folder.path(), "\"X-1\" is not known");
    target.append(correction_of(link, "null", {0}, {0}));
    CHECK(target.codes_of("P-1") == std::vector<std::string>{"P-1", "R-1"});
    CHECK(target.codes_of("Q-1") == std::vector<std::string>{"Q-1"});
    CHECK(target.verify().is_intact());
}

TEST_CASE("each tells of one person after the other, by all their codes") {
    const RegisterFolder folder;
    auto target = folder.open();
    for (int n = 0; n < 6; ++n)
        target.append(some_run(n % 2 == 0 ? "P-1" : n == 3 ? "R-1" : "Q-1", n));
    target.link("R-1", "P-1");
    std::vector<std::int64_t> seen;
    target.each({a_monday_ms}, {a_monday_ms + 60 * minute_ms}, [&](const Entry& entry) {
        seen.push_back(entry.n);
        CHECK(target.head().n == 7);
        CHECK(target.of_person("Q-1", long_ago, far_off).size() == 2);
        CHECK_THROWS_AS(target.append(some_run("P-1", 1)), std::logic_error);
    });
    CHECK(seen == std::vector<std::int64_t>{1, 3, 4, 5, 2, 6});
}

TEST_CASE("what is done as one is recorded as a whole or not at all") {
    const RegisterFolder folder;
    auto target = folder.open();
    const auto number = target.in_one([&] {
        target.append(some_run("P-1", 0));
        CHECK(folder.open(Access::Read).head().n == 0);
        return target.append(some_run("P-1", 1));
    });
    CHECK(number == 2);
    const auto fail = [&] {
        target.in_one([&] {
            target.append(some_run("P-2", 0));
            throw std::out_of_range("given up");
        });
    };
    CHECK_THROWS_AS(fail(), std::out_of_range);
    CHECK(target.head().n == 2);
    CHECK(!target.knows("P-2"));
    // A part that failed takes all with it, even where somebody went on.
    const auto go_on = [&] {
        target.in_one([&] {
            target.append(some_run("P-3", 0));
            CHECK_THROWS_AS(fail(), std::out_of_range);
        });
    };
    CHECK_THROWS_AS(go_on(), std::logic_error);
    CHECK(target.head().n == 2);
    CHECK(target.append(some_run("P-3", 0)) == 3);
    auto reader = folder.open(Access::Read);
    CHECK_THROWS_AS(reader.append(some_run("P-1", 1)), std::logic_error);
    CHECK(reader.in_one([&] { return reader.head().n; }) == 3);
}

TEST_CASE("no session has the number of another, whatever is erased") {
    const RegisterFolder folder;
    auto target = folder.open();
    CHECK(!target.newest_session());
    CHECK(target.next_session() == 1);
    CHECK(target.next_session() == 2);
    target.append(some_run("P-1", 0, 40));
    CHECK(target.next_session() == 41);
    target.append(some_run("P-1", 0, 41));
    static_cast<void>(target.erase("P-1"));
    CHECK(!target.newest_session());
    CHECK(target.next_session() == 42);
}
