#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/study/stated_uncertainty.hpp"
#include "report/assess_words.hpp"
#include "report/cautions.hpp"
#include "report/review_report.hpp"
#include "report/review_tables.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

std::string source_line(const SourceFile& file) {
    return fmt::format("  {}, SHA-256 {}…\n", file.path, file.sha256.substr(0, 16));
}

std::string recommendation_lines(const Recommendation& recommendation) {
    std::string text = wrapped("Recommendation: " + recommendation.text, 2, 4);
    if (recommendation.conditions.empty()) return text;
    text += "  On condition that\n";
    for (const std::string& condition : recommendation.conditions)
        text += wrapped("- " + condition, 4, 6);
    return text;
}

std::string origin_lines(const Origin& origin) {
    std::string text = "  Where the levels come from\n";
    const auto add = [&text](std::string_view name, const std::string& value) {
        text += wrapped(fmt::format("{}: {}", name, value.empty() ? "not stated" : value), 4, 6);
    };
    add("how", origin.how);
    add("who", origin.who);
    add("when", origin.when);
    add("where", origin.where);
    if (!origin.subject.empty()) add("in the scanner", origin.subject);
    add("timing", origin.timing);
    add("instrument", origin.instrument);
    add("calibration", origin.calibration);
    add("background", origin.background);
    add("recording", origin.recording);
    add("SHA-256", origin.recording_sha256);
    add("parts of the uncertainty", origin.uncertainty);
    return text;
}

std::string peak_lines(const SequenceReview& review) {
    std::string text = "  Peak limits\n";
    if (review.peaks.empty() && review.peak_unknown.empty())
        return text + "    none of the criteria has one\n";
    for (const CriterionResult& peak : review.peaks) {
        text += wrapped(fmt::format("{}: {}, peak {}, limit {}, {}; {}", peak.criterion->id,
                                    name_of(peak.verdict), value_text(peak), limit_text(peak),
                                    margin_text(peak), peak.remark),
                        4, 6);
    }
    for (const std::string& id : review.peak_unknown)
        text += wrapped(fmt::format("{}: unknown, no peak is stated on the card", id), 4, 6);
    return text;
}

std::string box_of(CheckState state) {
    switch (state) {
        case CheckState::Ok:
            return "[x]";
        case CheckState::Doubtful:
            return "[?]";
        case CheckState::Missing:
            return "[ ]";
    }
    return "";
}

std::string check_lines(const std::vector<ReviewCheck>& checks) {
    std::string text =
        "  To tick before it is approved ([x] stated, [?] to be looked at, [ ] missing)\n";
    for (const ReviewCheck& check : checks) {
        text += wrapped(fmt::format("{} {}: {}{}{}", box_of(check.state), check.code, check.text,
                                    check.to_do.empty() ? "" : "; to do: ", check.to_do),
                        4, 8);
    }
    return text;
}

std::string day_line(const ReviewTerms& terms) {
    const unsigned sessions = terms.sessions_per_day;
    return wrapped(
        fmt::format(
            "Permitted time a day of this sequence alone, nothing else heard, rounded down; {}; "
            "criteria on a week count {:g} such day{}",
            sessions == 1 ? "one session a day, which may last as long"
                          : fmt::format("{} sessions a day, each 1/{} of it", sessions, sessions),
            terms.days_per_week, terms.days_per_week == 1.0 ? "" : "s"),
        2, 4);
}

std::string uncertainty_line(const Sequence& sequence) {
    const StatedUncertainty uncertainty = stated_or_default_uncertainty(sequence);
    return wrapped(fmt::format("standard uncertainty (k = 1) {:.1f} dB, {}", uncertainty.whole.dB(),
                               uncertainty.source),
                   4, 6);
}

std::string card_block(const ReviewReport& report, const ReviewedCard& card,
                       const TextStyle& style) {
    const SequenceReview& review = card.review;
    std::string text = fmt::format("\n{} ({})\n{}", style.strong(review.sequence.title),
                                   review.sequence.id, source_line(card.file));
    text += recommendation_lines(review.recommendation);
    text += "  Levels at the participant's ear position, nobody protected, over one run\n" +
            levels_table(review.sequence.levels) + uncertainty_line(review.sequence);
    text += "    tones: a card holds none; `earbudget measure` lists those of a recording\n";
    text += origin_lines(review.sequence.origin) + peak_lines(review);
    text += day_line(*report.terms) + permitted_table(*report.terms, review, style);
    if (report.against) text += difference_lines(card, *report.against);
    text += check_lines(review.checks);
    if (report.record.with_working) text += working_text(working_of(review, *report.terms));
    return text;
}

std::string derating_line(const Derating& derating) {
    if (derating.kind == Derating::Kind::None) return "derating none\n";
    return fmt::format("derating {}: {}\n",
                       derating.kind == Derating::Kind::Own
                           ? fmt::format("{:g} dB", derating.own.dB())
                           : std::string(name_of(derating.kind)),
                       source_of(derating.kind));
}

std::vector<Method> methods_used(const ReviewReport& report) {
    std::vector<Method> used;
    for (const ReviewedCard& card : report.cards) {
        for (const ReviewedChoice& choice : card.review.choices) {
            if (choice.method && std::ranges::find(used, *choice.method) == used.end())
                used.push_back(*choice.method);
        }
    }
    return used;
}

std::string method_lines(const ReviewReport& report) {
    const PredictionRules& rules = report.terms->policy.rules;
    if (!report.protectors)
        return "\nNo protectors: nothing worn is all that was reviewed; give --protectors FILE\n";
    std::string text = fmt::format("\nProtectors: {}, SHA-256 {}…\n", report.protectors->path,
                                   report.protectors->sha256.substr(0, 16));
    text += wrapped(
        fmt::format("each as well seated and worn all the time, but for the rows \"poorly "
                    "seated\": no more than {:.0f} dB (common practice, no source); method {}, "
                    "{:g} % of people protected",
                    poor_fit_reduction.dB(),
                    rules.method ? name_of(*rules.method) : "best, chosen for each",
                    rules.performance.percent()),
        2, 4);
    for (const Method method : methods_used(report))
        text += wrapped(fmt::format("method {}: {}", name_of(method), source_of(method)), 2, 4);
    text += "  " + derating_line(rules.derating);
    const std::string_view caution = caution_on(rules.derating.kind);
    return caution.empty() ? text : text + wrapped(caution, 4, 6);
}

std::string criteria_lines(const ReviewTerms& terms) {
    std::string text = fmt::format("\nCriteria, for a {}\n", name_of(terms.role));
    for (const Criterion& criterion : terms.policy.criteria) {
        text += wrapped(fmt::format("{}: {}{}{}", criterion.id, criterion.source,
                                    criterion.remark.empty() ? "" : "; ", criterion.remark),
                        2, 4);
    }
    return text +
           wrapped(
               fmt::format("The exit status is 0 where the peak limits are kept and something "
                           "permits {} a day by every one of them; action values, which count no "
                           "protectors, decide nothing beside limits that do.",
                           text_of(terms.least_time)),
               2, 4);
}

}  // namespace

std::string review_text(const ReviewReport& report, const TextStyle& style) {
    std::string text;
    for (const ReviewedCard& card : report.cards) {
        text += wrapped(
            fmt::format("{}: {}", card.review.sequence.id, card.review.recommendation.text), 0, 2);
    }
    for (const ReviewedCard& card : report.cards)
        text += card_block(report, card, style);
    text += method_lines(report) + criteria_lines(*report.terms) +
            record_text(report.record, rules_of(report)) + "\nCautions\n";
    for (const std::string_view caution : cautions)
        text += wrapped(caution, 2, 4);
    return text;
}

}  // namespace earbudget::report
