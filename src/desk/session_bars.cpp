#include "desk/session_bars.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_words.hpp"
#include "report/assess_words.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"

namespace earbudget::desk::at_session {

namespace {

using report::html::element;
using report::html::text;

const CriterionResult* same_limit(const sessions::Judged& of, const CriterionResult& limit) {
    const auto found = std::ranges::find_if(of.criteria, [&](const CriterionResult& one) {
        return one.is_peak == limit.is_peak && one.criterion->id == limit.criterion->id &&
               one.criterion->quantity == limit.criterion->quantity;
    });
    return found == of.criteria.end() ? nullptr : &*found;
}

std::string used_words(double share) {
    // Nothing but nothing is read as nothing.
    if (share > 0.0 && share < 0.001) return "< 0.1 %";
    return report::percent_text(100.0 * share);
}

/// The verdict's own bar, with what will be used behind it in outline.
std::string two_bars(double now, double then, Verdict verdict, const std::string& words) {
    constexpr double width = 300.0;
    const auto up_to = [](double share) { return width * std::clamp(share, 0.0, 1.0); };
    return fmt::format(
        "<div class=\"bar {0}\">\n<svg viewBox=\"0 0 300 20\" preserveAspectRatio=\"none\" "
        "aria-hidden=\"true\" data-share=\"{1:.6g}\" data-then=\"{2:.6g}\">\n"
        "<rect class=\"whole\" x=\"0\" y=\"0\" width=\"300\" height=\"20\"/>\n"
        "<rect class=\"then\" x=\"0\" y=\"0\" width=\"{4:.1f}\" height=\"20\"/>\n"
        "<rect class=\"used\" x=\"0\" y=\"0\" width=\"{3:.1f}\" height=\"20\"/>\n</svg>\n"
        "<p>{5}</p>\n</div>\n",
        name_of(verdict), now, then, up_to(now), up_to(then), text(words));
}

std::string verdict_words(const CriterionResult& limit) {
    switch (limit.verdict) {
        case Verdict::Over:
            return ": OVER";
        case Verdict::Close:
            return ": close, perhaps over";
        case Verdict::Unknown:
            return ": cannot be decided";
        default:
            return "";
    }
}

std::string peak_words(const CriterionResult& limit) {
    return fmt::format("Peak, {}: {} of {}{}", report::limit_title(*limit.criterion),
                       report::value_text(limit), report::limit_text(limit), verdict_words(limit));
}

}  // namespace

std::string bars_of(const sessions::Judged& now, const sessions::Judged& then) {
    std::string content;
    for (const CriterionResult& limit : then.criteria) {
        if (limit.is_peak) {
            content += element("p", text(peak_words(limit)));
            continue;
        }
        const CriterionResult* was = same_limit(now, limit);
        const auto used_then = used_of(limit);
        const double used_now = was ? used_of(*was).value_or(0.0) : 0.0;
        const std::string title = report::limit_title(*limit.criterion);
        if (!used_then) {
            content += element("p", text(title + ": nothing used" + verdict_words(limit)));
            continue;
        }
        std::string words = report::strong(used_words(used_now) + " used") + ", " + title;
        // Each share has the verdict that is its own.
        const bool goes_on = used_words(*used_then) != used_words(used_now);
        words += verdict_words(goes_on && was ? *was : limit);
        if (goes_on)
            words += "; " + used_words(*used_then) + " when this run ends as planned" +
                     verdict_words(limit);
        content += two_bars(used_now, *used_then, limit.verdict, words);
    }
    return content;
}

std::string bars(const Look& look) {
    std::string content;
    for (const Somebody& one : look.people) {
        if (!one.next) continue;
        const auto& then = one.next->next.so_far;
        const bool is_participant = &one == &look.participant();
        const bool is_anything = then && !then->criteria.empty() && one.until_now;
        if (!is_participant && (!is_anything || then->verdict == Verdict::Within)) continue;
        if (!is_participant) content += element("h3", text(one.as + ", " + one.id));
        content += is_anything ? bars_of(*one.until_now, *then)
                               : element("p", "Nothing was heard that a limit still counts.");
    }
    return content + element("p", "soft", text(records::levels_not_measured));
}

}  // namespace earbudget::desk::at_session
