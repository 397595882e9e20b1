#include <algorithm>

#include <fmt/format.h>

#include "records/register_totals.hpp"
#include "report/assess_words.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::records {

namespace {

std::string days_words(std::size_t days) {
    return days == 1 ? "1 day" : fmt::format("{} days", days);
}

/// "2026-11-02 to 2026-11-20".
std::string dates_words(const PersonAnswer& person) {
    if (person.days.empty()) return "";
    const std::string first = sessions::iso_date(person.days.front().total.day);
    const std::string last = sessions::iso_date(person.days.back().total.day);
    return first == last ? first : first + " to " + last;
}

report::Answer answer_of(const PersonAnswer& person) {
    const Verdict verdict = person.verdict();
    report::Answer answer{verdict, report::first_letter_large(report::words_of(verdict)),
                          fmt::format("{}, {}, {}: {}", person.as, name_of(person.role),
                                      days_words(person.days.size()), dates_words(person))};
    if (person.days.empty()) {
        answer.words = "No run is recorded";
        answer.rest = fmt::format("{}, {}", person.as, name_of(person.role));
    }
    const Tightest tightest = tightest_of(person);
    if (tightest.result) {
        answer.under.push_back(fmt::format("Tightest: {}, {} ({})", tightest.when,
                                           limit_words(*tightest.result),
                                           entries_words(*tightest.entries)));
    }
    for (std::string& one : action_sentences(days_by(person.months)))
        answer.under.push_back(std::move(one));
    for (const EventAnswer& event : person.events) {
        answer.under.push_back(fmt::format(
            "{}: {}{} (entry {})", rfc3339(event.at), sessions::event_kinds[event.event.what].name,
            event.event.stops_all() ? ", cleared by nobody" : "", event.event.entry));
    }
    for (std::string& one : missing_sentences(person.missing))
        answer.under.push_back(std::move(one));
    if (person.lower_bound()) answer.under.push_back(lower_bound_sentence());
    return answer;
}

}  // namespace

std::string limit_words(const CriterionResult& result) {
    std::string words =
        fmt::format("{}, {}{}: {} of {}", result.criterion->id, report::quantity_text(result),
                    result.at_ear ? " at the ear" : " outside", report::value_text(result),
                    report::limit_text(result));
    const std::string margin = result.made_for_others ? "" : report::margin_text(result);
    if (!margin.empty()) words += ", " + margin;
    if (result.probability_over && !result.made_for_others)
        words += ", P(over) " + report::probability_text(result);
    if (result.limited_by_origin) words += "; close since nobody measured the levels";
    return words;
}

std::string lower_bound_sentence() {
    return "A lower bound: some of it is from scans that were kept; runs that were stopped, failed "
           "or repeated are missing there.";
}

std::vector<std::string> missing_sentences(const sessions::Missing& missing) {
    std::vector<std::string> all;
    if (!missing.unconfirmed.empty()) {
        all.push_back(
            fmt::format("Missing: when it ended is not stated of {}; counted until the "
                        "next thing that is.",
                        entries_words(missing.unconfirmed)));
    }
    if (!missing.unknown_level.empty()) {
        all.push_back(
            fmt::format("Missing: how loud {} was is not known; what is not over is "
                        "undecided.",
                        entries_words(missing.unknown_level)));
    }
    for (const auto& [one, other] : missing.overlapping)
        all.push_back(fmt::format("Entries {} and {} are of one time; both count.", one, other));
    if (!missing.damaged.empty())
        all.push_back(fmt::format("Cannot be read: {}.", entries_words(missing.damaged)));
    return all;
}

std::vector<std::string> action_sentences(const std::vector<sessions::DaysBy>& by) {
    std::vector<std::string> all;
    for (const sessions::DaysBy& one : by) {
        if (one.kind != CriterionKind::ActionValue || one.over + one.close == 0) continue;
        std::string words =
            fmt::format("Above {}{} on {} of {}", one.criterion, one.is_peak ? " (peak)" : "",
                        one.over, days_words(one.days));
        if (one.close > 0) words += fmt::format(", on {} more perhaps", one.close);
        all.push_back(words + ".");
    }
    return all;
}

std::vector<sessions::DaysBy> days_by(const std::vector<sessions::MonthTotal>& all) {
    std::vector<sessions::DaysBy> sums;
    for (const sessions::MonthTotal& month : all) {
        for (const sessions::DaysBy& by : month.by) {
            auto same = std::ranges::find_if(sums, [&](const sessions::DaysBy& sum) {
                return sum.criterion == by.criterion && sum.is_peak == by.is_peak;
            });
            if (same == sums.end()) {
                sums.push_back(by);
                continue;
            }
            same->over += by.over;
            same->close += by.close;
            same->unknown += by.unknown;
            same->days += by.days;
        }
    }
    return sums;
}

report::Answers answers_of(const std::vector<PersonAnswer>& people) {
    report::Answers answers{.all = {}, .marks = report::verdict_marks, .loud = true};
    for (const Verdict verdict : {Verdict::Over, Verdict::Unknown, Verdict::Close, Verdict::Within})
        for (const PersonAnswer& person : people)
            if (person.verdict() == verdict) answers.all.push_back(answer_of(person));
    return answers;
}

}  // namespace earbudget::records
