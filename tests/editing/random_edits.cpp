// Any edits: the text is read as the edited values, and keeps its comments.
#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "editing/edit.hpp"
#include "editing/splices.hpp"
#include "editing/statements.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::editing;
using namespace earbudget::test;

namespace {

using Random = std::mt19937_64;

std::size_t below(std::size_t count, Random& random) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(random);
}

const files::TomlArray* tables_in(const files::TomlValue& value) {
    const auto* array = std::get_if<files::TomlArray>(&value.content);
    const bool is_of_tables = array && !array->empty() &&
                              std::holds_alternative<files::TomlTable>(array->front().content);
    return is_of_tables ? array : nullptr;
}

/// All that can be changed: tables, their keys with one value, arrays of tables.
struct Places {
    std::vector<Path> tables = {};
    std::vector<std::pair<Path, std::string>> keys = {};
    std::vector<std::pair<Path, std::size_t>> arrays = {};

    void add(const files::TomlTable& table, const Path& path) {
        tables.push_back(path);
        for (const files::TomlEntry& entry : table.entries) {
            const Path at = path / entry.key;
            if (const auto* inner = std::get_if<files::TomlTable>(&entry.value.content)) {
                add(*inner, at);
            } else if (const auto* array = tables_in(entry.value)) {
                arrays.emplace_back(at, array->size());
                for (std::size_t n = 0; n < array->size(); ++n)
                    add(std::get<files::TomlTable>((*array)[n].content), at / n);
            } else {
                keys.emplace_back(path, entry.key);
            }
        }
    }
};

Value random_value(Random& random) {
    constexpr std::string_view characters = "ab \"'\\#=[]{}\n\t,.\x7F";
    const auto text = [&] {
        std::string result;
        for (std::size_t n = below(8, random); n > 0; --n)
            result += characters[below(characters.size(), random)];
        return result + (below(4, random) == 0 ? "\xC3\xA9" : "");
    };
    switch (below(6, random)) {
        case 0:
            return below(2, random) == 0;
        case 1:
            return static_cast<std::int64_t>(below(1000, random)) - 500;
        case 2:
            return std::uniform_real_distribution(-1e3, 1e3)(random);
        case 3:
            return std::vector<std::string>{text(), text()};
        case 4:
            return std::vector<double>{1.5, 1e-9, 1e300};
        default:
            return text();
    }
}

/// Beside it whether comments may go with what is removed or come twice.
std::pair<Edit, bool> random_edit(const Places& places, Random& random) {
    const auto key = places.keys[below(places.keys.size(), random)];
    const auto& [array, count] = places.arrays[below(places.arrays.size(), random)];
    switch (below(8, random)) {
        case 0:
            return {Remove{key.first, key.second}, false};
        case 1:
            return {Set{places.tables[below(places.tables.size(), random)],
                        "new" + std::to_string(below(100, random)), random_value(random)},
                    false};
        case 2:
            return {Set{places.tables[below(places.tables.size(), random)] / "table of new keys",
                        "new", random_value(random)},
                    false};
        case 3:
            return {MoveEntry{array, below(count, random), below(count, random)}, false};
        case 4:
            return {DuplicateEntry{array, below(count, random)}, true};
        case 5:
            return {InsertEntry{array, below(count + 1, random), {{"x", random_value(random)}}},
                    false};
        case 6:
            if (count > 1) return {RemoveEntry{array, below(count, random)}, true};
            [[fallthrough]];
        default:
            return {Set{key.first, key.second, random_value(random)}, false};
    }
}

std::vector<std::string> sorted_comments(const std::string& text) {
    auto comments = comments_in(text, {0, text.size()});
    std::ranges::sort(comments);
    return comments;
}

/// Walks from edit to edit; returns how many were made.
int walk(const std::string& begin, Random& random, int edits) {
    std::string text = begin;
    int made = 0;
    for (int n = 0; n < edits; ++n) {
        files::TomlTable values = files::parse_toml(text, "plan.toml");
        Places places;
        places.add(values, {});
        const auto [edit, moves_comments] = random_edit(places, random);
        CAPTURE(text);
        std::string result;
        try {
            result = edited(text, {edit}, "plan.toml");
        } catch (const InputError& error) {
            // The forms that are not edited, and nothing else.
            const std::string said = error.what();
            CAPTURE(said);
            const bool is_form = said.find("dotted keys") != said.npos ||
                                 said.find("header") != said.npos ||
                                 said.find("stand between") != said.npos;
            CHECK(is_form);
            continue;
        }
        CAPTURE(result);
        apply(edit, values);
        CHECK(is_alike(files::parse_toml(result, "plan.toml"), values));
        if (!moves_comments) CHECK(sorted_comments(result) == sorted_comments(text));
        if (std::holds_alternative<Set>(edit) || std::holds_alternative<Remove>(edit))
            CHECK(edited(result, {edit}) == result);
        text = result;
        ++made;
    }
    return made;
}

std::string with_carriage_returns(std::string text) {
    for (std::size_t at = 0; (at = text.find('\n', at)) != text.npos; at += 2)
        text.replace(at, 1, "\r\n");
    return text;
}

}  // namespace

TEST_CASE("random edits of the demo's files are read as the values edited so, comments kept") {
    Random random(20);
    for (const char* name : {"plan.toml", "site.toml", "protectors.toml"}) {
        const std::string text =
            content_of(std::string(EARBUDGET_SOURCE_DIR) + "/sequences/saltmarsh/" + name);
        for (int n = 0; n < 6; ++n) {
            const int made = walk(n % 2 == 0 ? text : with_carriage_returns(text), random, 40);
            CHECK(made >= 30);
        }
    }
}

TEST_CASE("random edits of every form that a table can be written in") {
    Random random(21);
    const std::string text = R"(# top
a.b.c = 1 # dotted
"a"."d e" = [1, # in it
  2]
i = { x = 1, y = { z = "#" }, w = [ "a", "b" ] } # inline
t = [ { v = 1 }, { v = 2 } ]
s = """
# no comment \
  [[no.header]]"""
# above
[m.n] # implied
k = 'l' # beside

# apart

[m.n.o.p]
k = 1979-05-27
[[q]]
k = "]"
# of r
[[q.r]]
k = 2

  [other] # in between
  k = 3
[[q.r]]
k = 4
[[q]]
[q.s]
k = true # last)";
    int made = 0;
    for (int n = 0; n < 40; ++n)
        made += walk(text, random, 15);
    CHECK(made > 400);
}

TEST_CASE("all sets at once are the same as one after another") {
    Random random(22);
    const std::string text =
        content_of(std::string(EARBUDGET_SOURCE_DIR) + "/sequences/saltmarsh/plan.toml");
    Places places;
    places.add(files::parse_toml(text, "plan.toml"), {});
    for (int n = 0; n < 20; ++n) {
        std::vector<Edit> edits;
        std::string step_by_step = text;
        for (int k = 0; k < 8; ++k) {
            const auto& [table, key] = places.keys[below(12, random)];
            edits.push_back(Set{table, key, random_value(random)});
            step_by_step = edited(step_by_step, {edits.back()});
        }
        CHECK(edited(text, edits) == step_by_step);
    }
}
