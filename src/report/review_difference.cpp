#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/decimal_text.hpp"
#include "earbudget/review/compare_cards.hpp"
#include "report/review_tables.hpp"

namespace earbudget::report {

namespace {

std::string side(const std::optional<double>& level) {
    return level ? decimal_text(*level, 1) : "not stated";
}

std::string level_line(const LevelChange& change) {
    std::string text =
        fmt::format("    {:<12}{:>12}{:>12}", change.name, side(change.before), side(change.now));
    const auto difference = change.difference();
    // No minus before a zero.
    if (difference) {
        const bool none = std::abs(*difference) < 0.05;
        text += fmt::format("{:>12}", none ? "0.0" : fmt::format("{:+.1f}", *difference));
    }
    return text + '\n';
}

/// One line a choice: what changed, criterion by criterion; empty where nothing did.
std::string choice_sentence(const std::vector<TimeChange>& changes, std::size_t& next) {
    const auto& wears = changes[next].wears;
    std::string changed;
    bool any = false;
    for (; next < changes.size() && changes[next].wears == wears; ++next) {
        const TimeChange& change = changes[next];
        const std::string before = table_words(change.before);
        const std::string now = table_words(change.now);
        const std::string surely_before = table_words(change.confident_before);
        const std::string surely_now = table_words(change.confident_now);
        if (before == now && surely_before == surely_now) continue;
        changed += fmt::format(
            "{}{} {}", any ? "; " : "", change.criterion->id,
            before == now ? before + " as before" : fmt::format("{} before, {} now", before, now));
        if (surely_before != surely_now) {
            changed += fmt::format(" (confidently {} before, {} now)", surely_before, surely_now);
        }
        any = true;
    }
    const std::string worn =
        wears.empty() ? "nothing worn" : fmt::format("{}", fmt::join(wears, " under "));
    return fmt::format("{}: {}", worn, any ? changed : "as before");
}

}  // namespace

std::vector<std::string> time_change_sentences(const ReviewedCard& now,
                                               const ReviewedCard& before) {
    std::vector<std::string> sentences;
    const auto changes = time_changes(before.review, now.review);
    for (std::size_t next = 0; next < changes.size();)
        sentences.push_back(choice_sentence(changes, next));
    return sentences;
}

std::string difference_lines(const ReviewedCard& now, const ReviewedCard& before) {
    std::string text = wrapped(
        fmt::format("Instead of {} ({}), {}, SHA-256 {}…", before.review.sequence.title,
                    before.review.sequence.id, before.file.path, before.file.sha256.substr(0, 16)),
        2, 4);
    text += fmt::format("    {:<12}{:>12}{:>12}{:>12}\n", "dB", "before", "now", "change");
    for (const LevelChange& change : level_changes(before.review.sequence, now.review.sequence))
        text += level_line(change);
    text += "    Permitted time a day, by the best estimate\n";
    for (const std::string& sentence : time_change_sentences(now, before))
        text += wrapped(sentence, 4, 6);
    return text;
}

}  // namespace earbudget::report
