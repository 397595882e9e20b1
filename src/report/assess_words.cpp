#include "report/assess_words.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/choice/homogeneous_groups.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/limits/judge.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

std::string unit_of(const CriterionResult& result) {
    if (result.is_dose()) return "%";
    if (!result.is_peak) return "dB(A)";
    const bool c_weighted = result.criterion->peak->weighting == PeakLimit::Weighting::C;
    return c_weighted ? "dB(C)" : "dB";
}

constexpr std::size_t most_named = 3;

}  // namespace

std::string words_of(Verdict verdict) {
    return std::string(verdict_marks[static_cast<std::size_t>(verdict)]);
}

std::string first_letter_large(std::string words) {
    if (!words.empty() && words.front() >= 'a' && words.front() <= 'z')
        words.front() = static_cast<char>(words.front() - 'a' + 'A');
    return words;
}

std::string verdict_word(const CriterionResult& result) {
    static constexpr std::array beside_limits = {"below, no limit", "perhaps above, no limit",
                                                 "unknown, no limit", "above, no limit"};
    if (result.made_for_others) return "unknown, made for others";
    if (!result.decides && result.limited_by_origin)
        return "below by levels that nobody measured, no limit";
    return result.decides ? std::string(name_of(result.verdict))
                          : beside_limits[static_cast<std::size_t>(result.verdict)];
}

bool is_by_limits_of_others(const PersonResult& person) {
    return person.verdict == Verdict::Unknown && lacks_limit_of_age(*person.person);
}

std::string examples_words(const std::vector<Message>& examples, std::size_t most) {
    if (examples.empty()) return "";
    std::vector<Message> named = examples;
    named.resize(std::min(most, named.size()));
    const std::size_t more = examples.size() - named.size();
    return text_of(say<RemarkPhrase::RestsOnExamples>(named)) +
           (more == 0 ? "" : fmt::format(" and {} more: {}", more, where_the_rest_is()));
}

std::string criterion_words(const Criterion& criterion) {
    const std::string follows = text_of(criterion.when_above, ", ");
    return joined({criterion.source, text_of(criterion.remarks, "; "),
                   follows.empty() ? "" : "above it " + follows},
                  "; ");
}

std::string derating_words(const Derating& derating) {
    if (derating.kind == Derating::Kind::None) return "";
    return fmt::format("derating {}: {}",
                       derating.kind == Derating::Kind::Own
                           ? fmt::format("{:.1f} dB", derating.own.dB())
                           : std::string(name_of(derating.kind)),
                       source_of(derating.kind));
}

std::string segment_name(const Plan& plan, const Person& person, const ExposureRow& row) {
    const Task* task = row.task ? &person.tasks[*row.task] : nullptr;
    std::string what = row.sequence ? plan.sequences[*row.sequence].id
                       : !task      ? "rest"
                                    : "background";
    if (task && task->levels) what = task->title.empty() ? "other noise" : task->title;
    if (row.position) what = fmt::format("{}, {}", plan.positions[*row.position].id, what);
    if (row.position && task && task->door_open) what += ", door open";
    return row.once_a_day ? what + " (once a day)" : what;
}

std::string level_text(const std::optional<LevelA>& value) {
    return value ? decimal_text(value->dB(), 1) : std::string("none");
}

std::string level_with_unit(const std::optional<LevelA>& value) {
    return value ? level_text(value) + " dB(A)" : std::string("no sound");
}

std::string percent_text(double value) {
    if (value >= 1000.0) return fmt::format("{:.0f} %", value);
    return value >= 0.05 ? fmt::format("{:.1f} %", value) : "< 0.1 %";
}

std::string value_text(const CriterionResult& result) {
    if (!result.value) return result.is_peak ? "not known" : "no sound";
    if (result.is_dose()) {
        const bool at_the_limit = std::abs(*result.value - result.limit) < 0.05;
        return at_the_limit ? fmt::format("{:.3f} %", *result.value) : percent_text(*result.value);
    }
    return fmt::format("{}{:.1f} {}", result.by_bound ? "≤ " : "", *result.value, unit_of(result));
}

std::string limit_text(const CriterionResult& result) {
    if (result.is_dose()) return fmt::format("{:.0f} %", result.limit);
    return fmt::format("{:.1f} {}", result.limit, unit_of(result));
}

std::string runs_text(const std::optional<unsigned>& runs) {
    constexpr unsigned enough_runs = 20;
    if (!runs) return "";
    return *runs > enough_runs ? fmt::format("> {}", enough_runs) : fmt::format("{}", *runs);
}

std::string quantity_text(const CriterionResult& result) {
    if (result.is_peak) return "peak";
    switch (result.criterion->quantity) {
        case ExposureQuantity::Dose:
            return "dose";
        case ExposureQuantity::WeeklyDose:
            return "weekly dose";
        case ExposureQuantity::LEX_8h:
            return result.criterion->weekly_average ? "LEX,w" : "LEX,8h";
        case ExposureQuantity::LAeq_1h:
            return "LAeq,1h";
        case ExposureQuantity::LAeq_loudest:
            return "loudest LAeq";
    }
    return "";
}

std::string margin_text(const CriterionResult& result) {
    if (!result.margin) return "";
    const double margin = result.margin->dB();
    // Close to the limit a decimal more, so that "over" never stands beside 0.0 dB.
    const int decimals = std::abs(margin) < 0.05 ? 3 : 1;
    const char* const beyond = result.decides ? "over" : "above";
    return fmt::format("{}{:.{}f} dB {}", result.by_bound ? "≥ " : "", std::abs(margin), decimals,
                       margin < 0.0 ? beyond : "left");
}

std::string not_exceeded_text(const CriterionResult& result) {
    if (!result.not_exceeded) return "";
    if (result.is_dose()) return percent_text(*result.not_exceeded);
    return fmt::format("{:.1f} {}", *result.not_exceeded, unit_of(result));
}

std::string probability_text(const CriterionResult& result) {
    if (!result.probability_over) return "";
    return percent_text(100.0 * *result.probability_over);
}

std::string names_of_people(const std::vector<std::string>& ids) {
    if (ids.size() > most_named)
        return fmt::format("{}, {} and {} others", ids[0], ids[1], ids.size() - 2);
    if (ids.empty()) return "";
    return fmt::format("{}{}{}", fmt::join(ids.begin(), ids.end() - 1, ", "),
                       ids.size() > 1 ? " and " : "", ids.back());
}

std::string name_of_group(const std::vector<std::string>& ids) {
    return ids.size() == 1 ? ids.front()
                           : fmt::format("{} and {} alike", ids.front(), ids.size() - 1);
}

std::string others_of_group(const std::vector<std::string>& ids) {
    if (ids.size() == 1) return "";
    return fmt::format("the same for {}", fmt::join(ids.begin() + 1, ids.end(), ", "));
}

std::string warning_words(const Warning& warning, std::size_t all_people) {
    if (warning.people.empty()) return text_of(warning.says);
    const bool everyone = all_people > 1 && warning.people.size() == all_people;
    return fmt::format("for {}: {}", everyone ? "everyone" : names_of_people(warning.people),
                       text_of(warning.says));
}

bool is_asked_before(const Warning& warning) {
    static constexpr std::array asked = {"no-limit-for-age", "young-ears", "unfitted-ear",
                                         "ask-physician",    "stale-card", "superseded-card"};
    return std::ranges::find(asked, warning.code()) != asked.end();
}

std::string asked_before_in_short(const Assessment& assessment) {
    std::vector<std::string> all;
    for (const Warning& warning : said_once(assessment.warnings)) {
        if (!is_asked_before(warning)) continue;
        const std::string words = text_of(warning.says);
        all.push_back(
            joined({names_of_people(warning.people), words.substr(0, words.find(": "))}, ": "));
    }
    return all.empty() ? "" : "Before the start: " + joined(all, "; ") + ".";
}

}  // namespace earbudget::report
