// Edits of a TOML text: what was asked for changes, every other byte stays.
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/study/input_error.hpp"
#include "editing/edit.hpp"

using namespace earbudget;
using namespace earbudget::editing;

namespace {

using Texts = std::vector<std::string>;

const std::string study = R"(# whose it is
kind = "plan"   # a plan
title = 'By "night"'

[policy]        # decided
method = "best"
criteria = [    # two
  "niosh-rel",  # the stricter
  "eu-limit",
]

# the first
[[timeline]]
sequence = "a"
duration = "8 min"  # measured
[[timeline]]
rest = "2 min"

# --- people ---

# narrow canals
[[person]]
id = "p"
wears = ["plug"]
[person.levels]
octave = { "63" = 56.5, 125 = 58 }
[[person.task]]
title = "one"
[[person.task]]
title = "two"

[[person]]
id = "q"
)";

/// The text with one part in the place of another, which must be there once.
std::string with(const std::string& text, const std::string& part, const std::string& other) {
    const std::size_t at = text.find(part);
    REQUIRE(at != text.npos);
    REQUIRE(text.find(part, at + 1) == text.npos);
    return text.substr(0, at) + other + text.substr(at + part.size());
}

std::string refused(const std::string& text, const Edit& edit) {
    try {
        static_cast<void>(edited(text, {edit}, "plan.toml"));
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("a value is set where it stands, and one that is there already stays as it is written") {
    CHECK(edited(study, {Set{{}, "title", std::string("Day")}}) ==
          with(study, R"('By "night"')", R"("Day")"));
    CHECK(edited(study, {Set{{"timeline", 0U}, "duration", std::string("6 min")}}) ==
          with(study, R"("8 min")", R"("6 min")"));
    CHECK(edited(study, {Set{{"person", 0U}, "wears", Texts{}}}) ==
          with(study, R"(["plug"])", "[]"));
    CHECK(edited(study, {Set{{"person", 0U, "task", 1U}, "title", std::string("late")}}) ==
          with(study, R"("two")", R"("late")"));
    CHECK(edited(study, {Set{{"person", 0U, "levels", "octave"}, "63", 57.0}}) ==
          with(study, "56.5", "57.0"));
    for (const Edit& edit : {Edit{Set{{}, "title", std::string(R"(By "night")")}},
                             Edit{Set{{"policy"}, "criteria", Texts{"niosh-rel", "eu-limit"}}},
                             Edit{Set{{"person", 0U, "levels", "octave"}, "125", 58.0}},
                             Edit{Remove{{}, "nothing"}}, Edit{MoveEntry{{"timeline"}, 1, 1}}})
        CHECK(edited(study, {edit}) == study);
}

TEST_CASE("comments in a value that is replaced, and beside a key that is removed, stay as lines") {
    const std::string list =
        "criteria = [    # two\n  \"niosh-rel\",  # the stricter\n"
        "  \"eu-limit\",\n]\n";
    CHECK(edited(study, {Set{{"policy"}, "criteria", Texts{"eu-limit"}}}) ==
          with(study, list, "# two\n# the stricter\ncriteria = [\"eu-limit\"]\n"));
    CHECK(edited(study, {Remove{{"policy"}, "criteria"}}) ==
          with(study, list, "# two\n# the stricter\n"));
    CHECK(edited(study, {Remove{{"timeline", 0U}, "duration"}}) ==
          with(study, "duration = \"8 min\"  # measured\n", "# measured\n"));
    CHECK(edited(study, {Remove{{"timeline", 0U}, "sequence"}}) ==
          with(study, "sequence = \"a\"\n", ""));
}

TEST_CASE("a key that is not there comes after the last of its table, and a table before others") {
    CHECK(edited(study, {Set{{"timeline", 1U}, "repeat", std::int64_t{2}}}) ==
          with(study, "rest = \"2 min\"\n", "rest = \"2 min\"\nrepeat = 2\n"));
    CHECK(edited(study, {Set{{"person", 0U}, "worn", 0.9}}) ==
          with(study, "wears = [\"plug\"]\n", "wears = [\"plug\"]\nworn = 0.9\n"));
    CHECK(edited(study, {Set{{}, "examples", true}}) ==
          with(study, "\"night\"'\n", "\"night\"'\nexamples = true\n"));
    CHECK(edited(study, {Set{{"person", 0U, "levels", "octave"}, "250", 60.5}}) ==
          with(study, "125 = 58 }", "125 = 58, 250 = 60.5 }"));
    CHECK(edited(study, {Set{{"contact"}, "phone", std::string("204")}}) ==
          with(study, "[policy] ", "[contact]\nphone = \"204\"\n\n[policy] "));
    CHECK(edited(study, {Set{{"person", 1U, "levels"}, "LAeq", 80.0}}) ==
          study + "\n[person.levels]\nLAeq = 80.0\n");
    CHECK(edited(study, {Remove{{"person", 0U, "levels", "octave"}, "125"}}) ==
          with(study, ", 125 = 58 }", " }"));
    CHECK(edited("[a.b]\nx = 1\n", {Set{{"a"}, "y", std::int64_t{2}}}) ==
          "[a]\ny = 2\n\n[a.b]\nx = 1\n");
    CHECK(edited("", {Set{{"a"}, "y z", std::int64_t{2}}}) == "[a]\n\"y z\" = 2\n");
    CHECK(edited("a.b = 1 # one\n", {Set{{"a"}, "b", std::int64_t{2}}}) == "a.b = 2 # one\n");
}

TEST_CASE("an entry is moved, removed and doubled with the comments right above it") {
    const std::string first =
        "# the first\n[[timeline]]\nsequence = \"a\"\n"
        "duration = \"8 min\"  # measured\n";
    const std::string second = "[[timeline]]\nrest = \"2 min\"\n";
    CHECK(edited(study, {MoveEntry{{"timeline"}, 0, 1}}) ==
          with(study, first + second, second + first));
    CHECK(edited(study, {RemoveEntry{{"timeline"}, 0}}) == with(study, first, ""));
    CHECK(edited(study, {DuplicateEntry{{"timeline"}, 1}}) == with(study, second, second + second));
    CHECK(edited(study, {DuplicateEntry{{"timeline"}, 0}}) ==
          with(study, first, first + "\n" + first));
    const std::string row = "[[timeline]]\nrest = \"1 min\"\n";
    const std::vector<std::pair<std::string, Value>> keys = {{"rest", std::string("1 min")}};
    CHECK(edited(study, {InsertEntry{{"timeline"}, 2, keys}}) == with(study, second, second + row));
    CHECK(edited(study, {InsertEntry{{"timeline"}, 0, keys}}) ==
          with(study, "# the first\n", row + "\n# the first\n"));
    CHECK(edited(study, {InsertEntry{{"visit"}, 0, keys}}) ==
          study + "\n[[visit]]\nrest = \"1 min\"\n");
    CHECK(edited(study, {InsertEntry{{"person", 1U, "task"}, 0, keys}}) ==
          study + "[[person.task]]\nrest = \"1 min\"\n");
    // With all that belongs to it, and without what does not.
    const std::size_t p = study.find("# narrow canals");
    const std::size_t q = study.rfind("[[person]]");
    const std::string heading = study.substr(0, p);
    const std::string one = study.substr(p, q - p - 1);
    CHECK(edited(study, {MoveEntry{{"person"}, 1, 0}}) == heading + study.substr(q) + "\n" + one);
    CHECK(edited(study, {RemoveEntry{{"person"}, 0}}) == heading + study.substr(q));
    CHECK(edited(study, {RemoveEntry{{"person"}, 1}}) == study.substr(0, q));
    CHECK(edited(study, {Remove{{"person", 0U}, "task"}}) ==
          study.substr(0, study.find("[[person.task]]")) + "\n" + study.substr(q));
}

TEST_CASE("line breaks, a byte order mark and a last line without an end stay") {
    CHECK(edited("\xEF\xBB\xBF# \xC3\xA9\r\n\"\xC3\xA9\" = 1\r\n",
                 {Set{{}, "\xC3\xA9", std::int64_t{2}}}) ==
          "\xEF\xBB\xBF# \xC3\xA9\r\n\"\xC3\xA9\" = 2\r\n");
    CHECK(edited("a = 1\r\nb = 2", {Set{{}, "c", std::int64_t{3}}}) == "a = 1\r\nb = 2\r\nc = 3");
    CHECK(edited("[[t]]\r\na = 1\r\n[[t]]\r\na = 2", {MoveEntry{{"t"}, 0, 1}}) ==
          "[[t]]\r\na = 2\r\n[[t]]\r\na = 1");
    CHECK(edited("x = {}\n", {Set{{"x"}, "a", true}}) == "x = { a = true }\n");
    CHECK(edited("\xEF\xBB\xBF[t]\n", {Set{{}, "a", true}}) ==
          "\xEF\xBB\xBF"
          "a = true\n\n[t]\n");
    CHECK(edited("s = '''\n[[t]] # no''' # yes\n[[t]]\na = \"#\"\n", {Set{{"t", 0U}, "a", true}}) ==
          "s = '''\n[[t]] # no''' # yes\n[[t]]\na = true\n");
}

TEST_CASE("edits follow one another, each on what the one before left") {
    const std::vector<Edit> edits = {Set{{}, "title", std::string("A")},
                                     Set{{}, "title", std::string("B")},
                                     MoveEntry{{"timeline"}, 0, 1},
                                     Set{{"timeline", 1U}, "sequence", std::string("b")},
                                     Remove{{}, "title"},
                                     Set{{}, "title", std::string("C")}};
    const std::string once = edited(study, edits);
    CHECK(once.find("title = \"C\"") != once.npos);
    CHECK(once.find("sequence = \"b\"") > once.find("rest"));
    CHECK(edited(study, {edits[0], Set{{}, "title", std::string(R"(By "night")")}}) ==
          with(study, R"('By "night"')", R"("By \"night\"")"));
}

TEST_CASE("what cannot be written is refused at its place") {
    const std::string rows =
        "t = [ { a = 1 }, { a = 2 } ]\nd.e = 1\n[[u]]\na = 1\n[v]\n[[u.w]]\nb = 1\n[[u]]\n";
    CHECK(edited(rows, {Set{{"t", 1U}, "a", std::int64_t{3}}}) == with(rows, "a = 2", "a = 3"));
    CHECK(refused(rows, MoveEntry{{"t"}, 0, 1}).starts_with("plan.toml:1:5: "));
    CHECK(refused(rows, Set{{"d"}, "f", true}).starts_with("plan.toml:2:1: "));
    CHECK(refused(rows, MoveEntry{{"u"}, 0, 1}).starts_with("plan.toml:6:1: "));
    CHECK(refused(rows, Set{{"u", 2U}, "f", true}).find("no such entry") != std::string::npos);
    CHECK(refused(rows, Set{{}, "v", true}).find("is a table") != std::string::npos);
    CHECK(refused(rows, Set{{"d", "e"}, "v", true}).find("is no table") != std::string::npos);
    CHECK(refused(rows, RemoveEntry{{"u"}, 2}).find("accepted: 1 to 2") != std::string::npos);
    CHECK(refused("a = ", Set{{}, "a", true}).starts_with("plan.toml:1:"));
    CHECK(refused(rows, Set{{}, "z", std::string(1, '\0')}).find("U+0000") != std::string::npos);
    // What is removed may lie apart.
    CHECK(edited(rows, {RemoveEntry{{"u"}, 0}}) ==
          "t = [ { a = 1 }, { a = 2 } ]\nd.e = 1\n[v]\n[[u]]\n");
}
