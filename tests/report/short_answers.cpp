// What is needed to decide, in six lines a group of people: nothing else than the JSON says, in
// text and on the page, however odd the study.
#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/advice/assess.hpp"
#include "earbudget/advice/hand_out.hpp"
#include "report/assess_words.hpp"
#include "report/document.hpp"
#include "report/html/markup.hpp"
#include "report/reports.hpp"
#include "report/short_answer.hpp"
#include "support/random_staff_plan.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::report;
using namespace earbudget::test;

namespace {

using Json = nlohmann::json;

const SourceFile plan_file{"plan.toml", std::string(64, 'a')};
const Record with_record{.date = "2026-01-31",
                         .inputs = {plan_file},
                         .fingerprint = std::string(64, 'b'),
                         .draws = DrawSettings{}};

std::vector<std::string> lines_in(const std::string& text) {
    std::vector<std::string> lines(1);
    for (const char letter : text) {
        if (letter == '\n') {
            lines.emplace_back();
        } else {
            lines.back() += letter;
        }
    }
    return lines;
}

/// A plan with its answers in short.
struct Short {
    explicit Short(const Plan& plan, bool with_outs = true)
        : assessment(assess(plan)), outs(hand_out(assessment)) {
        const HandOuts* const given = with_outs ? &outs : nullptr;
        answers = short_answers(assessment, given);
        Telling telling{.of = Telling::Of::ShortAlone, .outs = given};
        text = as_text(assess_document(assessment, plan_file, with_record, {}, telling), {});
        telling.of = Telling::Of::ShortThenWhole;
        page = as_page(assess_document(assessment, plan_file, with_record, {}, telling));
        json = Json::parse(assess_json(assessment, plan_file, with_record));
    }

    Assessment assessment;
    HandOuts outs;
    Answers answers;
    std::string text, page;
    Json json;
};

/// Each group takes no more than six lines of eighty columns, and text and page say the same.
void check_form(const Short& in_short) {
    CAPTURE(in_short.text);
    std::size_t taken = 0, at_most = 0;
    for (const std::string& line : lines_in(in_short.text)) {
        CHECK(width_of(line) <= short_columns);
        if (line.empty()) break;
        ++taken;
    }
    for (const Answer& answer : in_short.answers.all) {
        at_most += answer.under.empty() ? 1 : most_lines_of_group;
        CHECK(answer.under.size() < most_lines_of_group);
        for (const std::string& line : answer.under)
            CHECK(in_short.page.find("<li>" + html::text(line)) != std::string::npos);
        const std::string words = "<span class=\"word\"><bdi>" + html::escaped(answer.words) +
                                  "</bdi></span>: <bdi>" + html::escaped(answer.rest) + "</bdi>";
        CHECK(in_short.page.find(words) != std::string::npos);
    }
    const bool metal = in_short.text.starts_with("METAL");
    if (!metal) CHECK(taken <= at_most);
    CHECK(in_short.text.find("--detail") != std::string::npos);
    const std::string care = "Read with care.";
    const auto at = in_short.text.find(care);
    REQUIRE(at != std::string::npos);
    CHECK(in_short.text.find(care, at + 1) == std::string::npos);
}

std::string all_of(const Answer& answer) {
    std::string all = answer.words + ": " + answer.rest;
    for (const std::string& line : answer.under)
        all += '\n' + line;
    return all;
}

/// The margin of the limit that decides, from the JSON alone.
std::optional<double> tightest_margin(const Json& person) {
    std::optional<double> least;
    for (const Json& result : person["criteria"]) {
        const bool decides = result.value("decides", true);
        const bool by_bound = result.value("by_bound", false);
        if (!decides || by_bound || result["verdict"] != person["verdict"]) continue;
        if (!result["margin_dB"].is_number()) continue;
        const double margin = result["margin_dB"];
        if (!least || margin < *least) least = margin;
    }
    return least;
}

void check_runs(const Json& person, const std::string& said) {
    std::map<std::string, unsigned> fewest;
    for (const Json& segment : person["segments"]) {
        if (!segment["sequence"].is_string() || !segment["repeats_left"].is_number()) continue;
        const unsigned left = segment["repeats_left"];
        const auto [known, fresh] = fewest.emplace(segment["sequence"], left);
        if (!fresh) known->second = std::min(known->second, left);
    }
    if (said.find("More runs that fit") == std::string::npos) {
        CHECK((fewest.empty() || said.find("o not start") != std::string::npos));
        return;
    }
    for (const auto& [id, left] : fewest) {
        CAPTURE(id);
        if (said.find("as planned: none") != std::string::npos) {
            CHECK(left == 0);
        } else if (left > 20) {
            CHECK(said.find("> 20") != std::string::npos);
        } else if (said.find("more: --detail") == std::string::npos) {
            CHECK(said.find(left == 0 ? id + " none" : fmt::format("{} {} (", id, left)) !=
                  std::string::npos);
        }
    }
}

/// What is said of one person is what the JSON says.
void check_figures(const Short& in_short, std::size_t n, const Answer& answer) {
    const Json& person = in_short.json["people"][n];
    const std::string said = all_of(answer);
    CAPTURE(said);
    CHECK(person["verdict"] == name_of(answer.verdict));
    const auto margin = tightest_margin(person);
    if (margin && said.find(" is not permitted for any time") == std::string::npos &&
        std::abs(*margin) >= 0.05)
        CHECK(said.find(fmt::format("{:.1f} dB {}", std::abs(*margin),
                                    *margin < 0.0 ? "over" : "left")) != std::string::npos);
    check_runs(person, said);
    const HandOut& out = in_short.outs.each[n];
    const Verdict with_it = out.day ? out.day->verdict : in_short.assessment.people[n].verdict;
    const bool may_start = with_it <= Verdict::Close && out.kind != HandOut::Kind::Nothing &&
                           out.kind != HandOut::Kind::Undecided;
    CHECK((said.find("Hand out") != std::string::npos) == may_start);
    CHECK((said.find("Do not start") != std::string::npos) == !may_start);
    if (!may_start) return;
    CHECK((said.find("Hand out instead") != std::string::npos) ==
          (out.kind == HandOut::Kind::Instead));
    // By titles, or all by ids where those have no room.
    const auto all_said = [&](bool by_id) {
        return std::ranges::all_of(out.wears, [&](const std::string& id) {
            const auto& title = in_short.assessment.plan->catalogue.find(id)->protector.title;
            return said.find(by_id ? id : title) != std::string::npos;
        });
    };
    CHECK((all_said(false) || all_said(true)));
}

Plan with_people(Plan plan, std::size_t number, bool alike) {
    const Person first = plan.people.front();
    plan.people.clear();
    for (std::size_t n = 0; n < number; ++n) {
        plan.people.push_back(first);
        plan.people.back().id = fmt::format("p{}", n + 1);
        if (!alike) plan.people.back().fit_uncertainty = LevelDifference(1.0 + 0.01 * double(n));
    }
    return plan;
}

}  // namespace

TEST_CASE("a short answer says what the JSON says, of every person of random plans") {
    std::mt19937 random(20);
    std::set<Verdict> verdicts;
    std::set<HandOut::Kind> kinds;
    for (int n = 0; n < 60; ++n) {
        const Plan plan = n % 2 == 0 ? random_plan(random) : random_staff_plan(random);
        const Short in_short(plan);
        check_form(in_short);
        REQUIRE(in_short.answers.all.size() == 1);
        check_figures(in_short, 0, in_short.answers.all.front());
        verdicts.insert(in_short.assessment.people.front().verdict);
        kinds.insert(in_short.outs.each.front().kind);
    }
    CHECK(verdicts.size() >= 3);
    CHECK(kinds.size() >= 2);
}

TEST_CASE("people alike are one group, and beyond a screen none who is over is left out") {
    const Plan over = simple_plan(115.0, 120.0, 12.0);
    const Plan within = simple_plan(95.0, 10.0, 25.0);
    for (const Plan* plan : {&over, &within}) {
        const Short alike(with_people(*plan, 60, true));
        check_form(alike);
        REQUIRE(alike.answers.all.size() == 1);
        CHECK(alike.answers.all.front().rest.starts_with("p1 and 59 alike"));
        const Short unlike(with_people(*plan, 60, false));
        check_form(unlike);
        if (plan == &over) {
            REQUIRE(unlike.answers.all.size() == 60);
            for (std::size_t n = 0; n < 60; ++n) {
                CAPTURE(unlike.answers.all[n].rest);
                CHECK(unlike.answers.all[n].rest.starts_with(fmt::format("p{},", n + 1)));
                CHECK(unlike.text.find(fmt::format("OVER A LIMIT: p{},", n + 1)) !=
                      std::string::npos);
            }
        } else {
            CHECK(unlike.answers.all.size() == groups_in_full + 1);
            CHECK(unlike.answers.all.back().rest.starts_with("55 more, the nearest p"));
        }
    }
}

TEST_CASE("who is over, or cannot be decided, stands before those who are within") {
    Plan plan = with_people(simple_plan(104.0, 60.0, 25.0), 40, false);
    plan.people[20].wears.clear();
    const Short in_short(plan);
    check_form(in_short);
    CHECK(in_short.text.starts_with("OVER A LIMIT: p21, "));
    plan.people[30].policy.criteria.clear();
    const Short unknown(plan);
    check_form(unknown);
    CHECK(unknown.text.find("CANNOT BE DECIDED: p31, ") != std::string::npos);
    CHECK(unknown.text.find("CANNOT BE DECIDED: p31, ") < unknown.text.find("Within every limit"));
}

TEST_CASE("odd studies have a short answer too") {
    const std::string long_name(200, 'n');
    Plan no_catalogue = simple_plan(104.0, 60.0, 25.0);
    no_catalogue.catalogue = {};
    no_catalogue.people.front().wears.clear();
    Plan nothing_heard = simple_plan(104.0, 60.0, 25.0);
    nothing_heard.timeline.clear();
    Plan metal = simple_plan(104.0, 60.0, 25.0);
    metal.catalogue.protectors.front().protector.metal_free = false;
    Plan perhaps_metal = simple_plan(104.0, 60.0, 25.0);
    perhaps_metal.catalogue.protectors.front().protector.metal_free = std::nullopt;
    Plan long_names = simple_plan(115.0, 120.0, 12.0);
    long_names.title = long_name;
    long_names.people.front().id = long_name;
    long_names.sequences.front().id = long_name;
    long_names.catalogue.protectors.front().protector.title = long_name + ' ' + long_name;
    Plan wide = long_names;
    for (std::string* name : {&wide.title, &wide.people.front().id, &wide.sequences.front().id})
        *name = "騒音騒音騒音騒音騒音騒音騒音騒音騒音騒音騒音騒音騒音騒音騒音騒音騒音騒音";
    Plan half = simple_plan(104.0, 60.0, 25.0);
    half.people.front().wearing.fraction_of_time = 0.5;
    for (const Plan* plan :
         {&no_catalogue, &nothing_heard, &metal, &perhaps_metal, &long_names, &wide, &half}) {
        check_form(Short(*plan));
        check_form(Short(*plan, false));
    }
    CHECK(Short(metal).text.starts_with("METAL AT THE MAGNET: "));
    CHECK(Short(perhaps_metal).text.find("Make sure that plug is free of metal") !=
          std::string::npos);
    CHECK(Short(half).text.find("Hand out instead: Plug, well seated and all the time") !=
          std::string::npos);
    CHECK(Short(no_catalogue).text.find("Do not start, call") != std::string::npos);
}

TEST_CASE("of many names some are said and the others counted") {
    const std::vector<std::string> names = {"a", "b", "c", "d"};
    CHECK(without_marks(some_of(names, 2)) == "a, b and 2 more: --detail");
    CHECK(some_of(names, 3) == "a, b, c and d");
    CHECK(some_of(names, 3, ", ", ", ") == "a, b, c, d");
    CHECK(some_of({}, 2).empty());
}

TEST_CASE("a text is shortened by columns, a sentence to whole clauses") {
    CHECK(fitted("short", 5) == "short");
    CHECK(fitted("longer", 5) == "long…");
    CHECK(width_of(fitted("騒音騒音騒音", 5)) <= 5);
    const std::string sentence(
        "Shorten this to at most so many minutes a session, all its repeats together, and so on");
    const auto cut = fitted_lines({sentence, "b", "c"}, 3, {}, 2);
    CHECK(without_marks(cut.front()) ==
          "Shorten this to at most so many minutes a session (more: --detail)");
    CHECK(html::text(cut.front()).find("(more: </bdi>below<bdi>)") != std::string::npos);
    // Cut once more, it still says so on a page.
    const auto again = fitted_lines({cut.front() + ", " + sentence, "b", "c"}, 4, {0}, 2);
    CHECK(html::text(again.front()).find("--detail") == std::string::npos);
    CHECK(fitted_lines({sentence, "b", "c"}, 4, {0}, 2).front() == sentence);
}
