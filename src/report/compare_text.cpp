#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "report/assess_words.hpp"
#include "report/compare_report.hpp"

namespace earbudget::report {

namespace {

std::string time_or_none(const std::optional<Seconds>& time) {
    return time ? text_of(*time) : std::string("not run");
}

std::string sequence_line(const SequenceChange& change) {
    std::string text = change.before == change.after
                           ? fmt::format("{}: {} as before", change.id, time_or_none(change.after))
                           : fmt::format("{}: {} before, {} now", change.id,
                                         time_or_none(change.before), time_or_none(change.after));
    if (change.before && change.after && change.LAeq_before != change.LAeq_after) {
        text += fmt::format("; card {} before, {} now", level_with_unit(change.LAeq_before),
                            level_with_unit(change.LAeq_after));
    }
    return wrapped(text, 2, 4);
}

std::string side(const CriterionResult* result) {
    return result ? value_text(*result) : std::string("not judged");
}

std::string criterion_line(const CriterionChange& change) {
    const CriterionResult& known = change.after ? *change.after : *change.before;
    std::string text = fmt::format("{} {}: {} before, {} now", known.criterion->id,
                                   quantity_text(known), side(change.before), side(change.after));
    if (change.before && change.after && change.before->verdict != change.after->verdict) {
        text += fmt::format("; {} before, {} now", words_of(change.before->verdict),
                            words_of(change.after->verdict));
    }
    return wrapped(text, 4, 6);
}

/// Whether a reader would see a difference.
bool is_any(const CriterionChange& change) {
    if (!change.before || !change.after) return true;
    return value_text(*change.before) != value_text(*change.after) ||
           change.before->verdict != change.after->verdict;
}

std::string worn(const Person& person) {
    return person.wears.empty() ? std::string("nothing")
                                : fmt::format("{}", fmt::join(person.wears, " and "));
}

std::string person_lines(const PersonChange& change, const TextStyle& style) {
    if (!change.after) return fmt::format("  {}: no longer in the plan\n", change.id);
    if (!change.before) {
        return fmt::format("  {}: new, {}\n", change.id,
                           style.verdict(change.after->verdict, words_of(change.after->verdict)));
    }
    const Verdict was = change.before->verdict;
    const Verdict is = change.after->verdict;
    std::string text = fmt::format("  {}: {}", style.strong(change.id),
                                   was == is ? words_of(is) + " as before"
                                             : fmt::format("{} before, {} now", words_of(was),
                                                           style.verdict(is, words_of(is))));
    if (const auto by = change.change()) {
        const bool same = std::abs(by->dB()) < 0.05;
        text += same ? std::string("; LEX,8h at the ear unchanged")
                     : fmt::format("; LEX,8h at the ear {:.1f} dB {}", std::abs(by->dB()),
                                   by->dB() < 0.0 ? "lower" : "higher");
    }
    if (change.wears_otherwise()) {
        text += fmt::format("; wears {} instead of {}", worn(*change.after->person),
                            worn(*change.before->person));
    }
    text = wrapped(text, 2, 4);
    for (const CriterionChange& criterion : change.criteria) {
        if (is_any(criterion)) text += criterion_line(criterion);
    }
    return text;
}

}  // namespace

std::string compare_text(const Comparison& comparison, const SourceFile& earlier,
                         const TextStyle& style) {
    std::string text =
        wrapped(fmt::format("Compared with {} ({}, SHA-256 {}…)", comparison.before->plan->title,
                            earlier.path, earlier.sha256.substr(0, 16)),
                0, 2);
    text += comparison.session_before == comparison.session_after
                ? fmt::format("  session: {} as before\n", text_of(comparison.session_after))
                : fmt::format("  session: {} before, {} now\n", text_of(comparison.session_before),
                              text_of(comparison.session_after));
    for (const SequenceChange& change : comparison.sequences)
        text += sequence_line(change);
    for (const PersonChange& change : comparison.people)
        text += person_lines(change, style);
    return text;
}

}  // namespace earbudget::report
