// The working holds every number of exposure and criteria, with the very value of the result.
#include <cmath>
#include <map>
#include <random>
#include <string>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/choose.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr unsigned seed = 20260711;

using Results = std::map<std::string, WorkingValue>;

Results results_of(const Working& working) {
    Results results;
    for (const WorkingStep& step : working) {
        CHECK(!step.what.empty());
        CHECK(!step.formula.empty());
        CHECK(!step.source.empty());
        for (const auto& row : step.rows)
            CHECK(row.size() == step.columns.size());
        for (const std::string& key : step.of) {
            CAPTURE(key);
            CHECK(!results.contains(key));  // one step a number
            results[key] = step.result;
        }
    }
    return results;
}

void check_holds(const Results& results, const std::string& key,
                 const std::optional<double>& number) {
    CAPTURE(key);
    REQUIRE(results.contains(key));
    const auto* shown = std::get_if<double>(&results.at(key));
    CHECK((shown != nullptr) == number.has_value());
    if (shown && number) CHECK(*shown == *number);
}

template <class L>
std::optional<double> dB(const std::optional<L>& level) {
    return level ? std::optional(level->dB()) : std::nullopt;
}

Plan varied_plan(std::mt19937& random, int n) {
    Plan plan = random_plan(random);
    Person& person = plan.people.front();
    constexpr std::array<Method, 3> methods = {Method::Octave, Method::Hml, Method::Snr};
    person.policy.rules.method = methods[static_cast<std::size_t>(n) % methods.size()];
    if (n % 2 == 1) person.wearing.fraction_of_time = 0.9;
    if (n % 5 == 0) person.wearing.poor_fit = true;
    if (n % 7 == 0) {
        // No publication estimates H, M and L of a pair.
        person.wears = {"plug", "muff"};
        person.policy.rules.method = n % 2 == 0 ? Method::Octave : Method::Snr;
    }
    if (n % 11 == 0) person.wears = {};
    if (n % 4 == 0) person.policy.rules.derating.kind = Derating::Kind::Uk4dB;
    if (n % 3 == 0) person.days_per_week = 4.0;
    if (n % 6 == 1) {
        // Other noise of the day, with a protector of its own.
        Task task{.duration = Hours(2.0), .levels = plan.sequences.front().levels};
        task.wears = {"muff"};
        person.tasks.push_back(std::move(task));
    }
    person.policy.criteria.push_back(*find_published_criterion("who-public-adult"));
    return plan;
}

/// LEX,8h from the printed rows, by this test's own sum.
double daily_level(const WorkingStep& step) {
    double sum = 0.0;
    for (const auto& row : step.rows) {
        const auto* level = std::get_if<double>(&row[1]);
        if (level) sum += std::pow(10.0, *level / 10.0) * std::get<double>(row[2]);
    }
    return 10.0 * std::log10(sum / 28800.0);
}

}  // namespace

TEST_CASE("working: every number of exposure and criteria has one step with its very value") {
    std::mt19937 random(seed);
    int poorly_seated_tasks = 0;
    for (int n = 0; n < 120; ++n) {
        CAPTURE(n);
        const Plan plan = varied_plan(random, n);
        const Assessment assessment = assess(plan, Tracing::On);
        const PersonResult& person = assessment.people.front();
        const Results results = results_of(*person.working);
        const DayExposure& day = person.exposure;
        check_holds(results, "exposure.seconds", day.time.count());
        check_holds(results, "exposure.LAeq_dB", dB(day.LAeq));
        check_holds(results, "exposure.at_ear_LAeq_dB", dB(day.at_ear_LAeq));
        check_holds(results, "exposure.at_ear_LAeq_1h_dB", dB(day.at_ear_LAeq_1h));
        check_holds(results, "exposure.LEX_8h_dB", dB(day.LEX_8h));
        check_holds(results, "exposure.at_ear_LEX_8h_dB", dB(day.at_ear_LEX_8h));
        check_holds(results, "exposure.at_ear_Pa2h", day.at_ear_Pa2h);
        if (person.poor_fit_LEX_8h) {
            check_holds(results, "poorly_seated_LEX_8h_dB", dB(person.poor_fit_LEX_8h));
            poorly_seated_tasks += person.person->tasks.empty() ? 0 : 1;
        }
        for (std::size_t i = 0; i < person.criteria.size(); ++i) {
            const CriterionResult& criterion = person.criteria[i];
            const std::string key = fmt::format("criteria[{}].", i);
            check_holds(results, key + "value", criterion.value);
            check_holds(results, key + "limit", criterion.limit);
            check_holds(results, key + "margin_dB", dB(criterion.margin));
            check_holds(results, key + "probability_over", criterion.probability_over);
        }
        for (std::size_t i = 0; i < person.segments.size(); ++i) {
            if (!person.segments[i].row.sound) continue;
            const std::string key = fmt::format("segments[{}].", i);
            check_holds(results, key + "at_ear_LAeq_dB", dB(person.segments[i].row.at_ear));
            check_holds(results, key + "reduction_dB", person.segments[i].reduction.dB());
        }
    }
    CHECK(poorly_seated_tasks > 10);
}

TEST_CASE(
    "working: what advice, shares, methods and first order say is what their steps end with") {
    std::mt19937 random(seed + 3);
    int advised = 0;
    for (int n = 0; n < 60; ++n) {
        CAPTURE(n);
        const Plan plan = varied_plan(random, n);
        const Assessment assessment = assess(plan, Tracing::On);
        const PersonResult& person = assessment.people.front();
        const Results results = results_of(*person.working);
        for (std::size_t i = 0; i < person.criteria.size(); ++i) {
            const auto& first_order = person.criteria[i].first_order;
            if (!first_order) continue;
            const std::string key = fmt::format("criteria[{}].first_order.", i);
            check_holds(results, key + "above_limit_dB", first_order->above_limit.dB());
            check_holds(results, key + "standard_dB", first_order->standard.dB());
            check_holds(results, key + "probability_over", first_order->probability_over);
            for (std::size_t part = 0; part < first_order->parts.size(); ++part)
                check_holds(results, fmt::format("{}parts[{}].standard_dB", key, part),
                            first_order->parts[part].standard.dB());
        }
        for (std::size_t i = 0; i < person.methods.size(); ++i)
            check_holds(results, fmt::format("methods.each[{}].at_ear_LEX_8h_dB", i),
                        dB(person.methods[i].at_ear_LEX_8h));
        for (std::size_t i = 0; i < person.sequence_shares.size(); ++i)
            check_holds(results, fmt::format("drivers.sequences[{}].drop_without_it_dB", i),
                        dB(person.sequence_shares[i].drop));
        for (std::size_t i = 0; i < person.segments.size(); ++i) {
            const auto& runs = person.segments[i].repeats_left;
            if (runs) check_holds(results, fmt::format("segments[{}].repeats_left", i), *runs);
        }
        for (std::size_t i = 0; i < person.advice.size(); ++i) {
            const auto& longest = person.advice[i].seconds;
            if (!longest) continue;
            ++advised;
            check_holds(results, fmt::format("advice[{}].seconds", i), longest->count());
        }
    }
    CHECK(advised > 10);
}

TEST_CASE("working: first order above its limit follows from its rows") {
    std::mt19937 random(seed + 4);
    int seen = 0;
    for (int n = 0; n < 40; ++n) {
        CAPTURE(n);
        const Plan plan = varied_plan(random, n);
        const Assessment assessment = assess(plan, Tracing::On);
        for (const WorkingStep& step : *assessment.people.front().working) {
            if (!step.formula.starts_with("x = ")) continue;
            ++seen;
            double shares = 0.0;
            for (const auto& row : step.rows)
                shares += std::get<double>(row[6]) + std::get<double>(row[7]);
            CHECK(near(shares, 1.0, 1e-12, Because::Arithmetic));
            if (!step.formula.starts_with("x = 10 lg(Σ ti/T0")) continue;
            const auto energy = [](double dB) { return std::pow(10.0, dB / 10.0); };
            double sum = 0.0;
            for (const auto& row : step.rows) {
                const double L = std::get<double>(row[1]);
                const double w = std::get<double>(row[3]);
                const auto* unreduced = std::get_if<double>(&row[4]);
                const double rest = unreduced ? energy(*unreduced) : 0.0;
                sum += std::get<double>(row[5]) / 28800.0 *
                       (w * (energy(L - std::get<double>(row[2])) + rest) +
                        (1.0 - w) * (energy(L) + rest));
            }
            const double limit = std::get<double>(step.values.front().value);
            CHECK(near(std::get<double>(step.result), 10.0 * std::log10(sum) - limit, 1e-9,
                       Because::Arithmetic));
        }
    }
    CHECK(seen > 40);
}

TEST_CASE("working: nothing is kept unless it is asked for, and the answer is the same") {
    std::mt19937 random(seed + 5);
    for (int n = 0; n < 20; ++n) {
        CAPTURE(n);
        const Plan plan = varied_plan(random, n);
        const Assessment with = assess(plan, Tracing::On);
        const Assessment without = assess(plan);
        const PersonResult& one = with.people.front();
        const PersonResult& other = without.people.front();
        CHECK(!other.working);
        CHECK(one.exposure.at_ear_LEX_8h == other.exposure.at_ear_LEX_8h);
        CHECK(one.poor_fit_LEX_8h == other.poor_fit_LEX_8h);
        CHECK(one.advice.size() == other.advice.size());
        REQUIRE(one.criteria.size() == other.criteria.size());
        for (std::size_t i = 0; i < one.criteria.size(); ++i) {
            CHECK(one.criteria[i].value == other.criteria[i].value);
            CHECK(one.criteria[i].probability_over == other.criteria[i].probability_over);
        }
    }
}

TEST_CASE("working: every choice of a ranking says how its level and margin came about") {
    std::mt19937 random(seed + 6);
    int ranked = 0;
    for (int n = 0; n < 12; ++n) {
        CAPTURE(n);
        const Plan plan = varied_plan(random, n);
        CHECK(!choose(plan).front().unprotected.working);
        const auto choices = choose(plan, Tracing::On);
        for (const RankedChoice& choice : choices.front().ranking) {
            REQUIRE(choice.working);
            if (!choice.at_ear_LEX_8h) {
                CHECK(choice.working->empty());
                continue;
            }
            ++ranked;
            const Results results = results_of(*choice.working);
            check_holds(results, "at_ear_LEX_8h_dB", dB(choice.at_ear_LEX_8h));
            if (choice.worst_margin && !choice.peak_at_ear)
                check_holds(results, "worst_margin_dB", dB(choice.worst_margin));
            if (choice.probability_over)
                check_holds(results, "probability_over", choice.probability_over);
        }
    }
    CHECK(ranked > 12);
}

TEST_CASE("working: LEX,8h follows from its rows in every random plan") {
    std::mt19937 random(seed + 1);
    for (int n = 0; n < 60; ++n) {
        CAPTURE(n);
        const Plan plan = varied_plan(random, n);
        const Assessment assessment = assess(plan, Tracing::On);
        int seen = 0;
        for (const WorkingStep& step : *assessment.people.front().working) {
            if (!step.formula.starts_with("LEX,8h")) continue;
            ++seen;
            CHECK(
                near(std::get<double>(step.result), daily_level(step), 1e-9, Because::Arithmetic));
        }
        CHECK(seen >= 2);
    }
}

TEST_CASE("working: a pair's SNR that no label states is worked out from the one it is of") {
    std::mt19937 random(seed + 2);
    for (int n = 0; n < 20; ++n) {
        CAPTURE(n);
        Plan plan = random_plan(random);
        Person& person = plan.people.front();
        person.wears = {"plug", "muff"};
        person.policy.rules.method = Method::Snr;
        // Of two labels without one, and of one alone: the other has less.
        if (n % 2 == 1) {
            plan.catalogue.protectors.front().protector.ratings.SNR = LevelDifference(0.0);
        }
        const Assessment assessment = assess(plan, Tracing::On);
        const ExposureRow& row = assessment.people.front().segments.front().row;
        REQUIRE(row.prediction);
        CHECK(row.prediction->rating_from_octaves);
        int seen = 0;
        for (const WorkingStep& step : *assessment.people.front().working) {
            const std::string what = text_of(step.what);
            if (!what.starts_with("SNR of ")) continue;
            ++seen;
            CHECK(std::get<double>(step.result) == row.prediction->rating->dB());
            const std::string id = what.substr(7, 4);
            CHECK((n % 2 == 0 || id == "muff"));
            // 100 dB(C) of pink noise less what is left under the one of the two alone, ISO 4869-2.
            double left = 0.0;
            for (const auto& cells : step.rows)
                left += std::pow(10.0, std::get<double>(cells[3]) / 10.0);
            CHECK(near(100.0 - 10.0 * std::log10(left), std::get<double>(step.result), 0.5,
                       Because::PrintedRounding));
            const auto& octave = plan.catalogue.find(id)->protector.octave;
            CHECK(std::get<double>(step.rows.back()[2]) ==
                  octave->assumed_protection_value(OctaveBand::Hz8000, 1.0).dB());
        }
        CHECK(seen > 0);
    }
}
