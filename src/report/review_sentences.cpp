#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/study/sequence.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

std::vector<Method> methods_used(const ReviewReport& report) {
    std::vector<Method> used;
    for (const ReviewedCard& card : report.cards) {
        for (const ReviewedChoice& choice : card.review.choices) {
            if (choice.method) add_once(*choice.method, used);
        }
    }
    return used;
}

/// What each choice leaves of the peak.
void add_peaks_at_ear(const SequenceReview& review, const ReviewTerms& terms,
                      const Criterion& criterion, std::vector<std::string>& sentences) {
    std::vector<std::string> each;
    for (const ReviewedChoice& choice : review.choices) {
        if (choice.wears.empty()) continue;
        for (const PermittedByCriterion& by : choice.permitted) {
            if (by.peak && by.criterion->id == criterion.id)
                each.push_back(fmt::format("{} {}, {}", worn_words(terms, choice),
                                           value_text(*by.peak), name_of(by.peak->verdict)));
        }
    }
    if (!each.empty())
        sentences.push_back(fmt::format("{} at the ear: {}", criterion.id, fmt::join(each, "; ")));
}

}  // namespace

std::string_view first_words(Recommendation::Code code) {
    static constexpr std::array words = {
        "may be approved, on conditions, without ear protection",
        "may be approved only with ear protection",
        "not to be approved before more is known",
        "not to be approved as it is",
    };
    return words[static_cast<std::size_t>(code)];
}

std::vector<std::pair<std::string, std::string>> origin_entries(const Origin& origin) {
    std::vector<std::pair<std::string, std::string>> entries;
    const auto add = [&entries](std::string_view name, const std::string& value) {
        entries.emplace_back(name, value.empty() ? "not stated" : value);
    };
    add("how", origin.how);
    add("who", origin.who);
    add("when", origin.when);
    add("where", origin.where);
    if (!origin.subject.empty()) add("in the scanner", origin.subject);
    add("timing", origin.timing);
    add("instrument", origin.instrument);
    if (origin.instrument_class) add("class", fmt::format("{}", *origin.instrument_class));
    add("calibration", origin.calibration);
    add("background", origin.background);
    add("recording", origin.recording);
    add("SHA-256", origin.recording_sha256);
    add("parts of the uncertainty", origin.uncertainty);
    return entries;
}

std::vector<std::string> peak_sentences(const SequenceReview& review, const ReviewTerms& terms) {
    std::vector<std::string> sentences;
    for (const CriterionResult& peak : review.peaks) {
        sentences.push_back(fmt::format(
            "{}: {}{}, peak {}, limit {}; {}", peak.criterion->id, name_of(peak.verdict),
            peak.criterion->peak->at_ear ? " with nothing worn" : "", value_text(peak),
            joined({limit_text(peak), margin_text(peak)}, ", "), text_of(peak.remarks, "; ")));
        if (peak.criterion->peak->at_ear)
            add_peaks_at_ear(review, terms, *peak.criterion, sentences);
    }
    if (sentences.empty()) sentences.emplace_back("none of the criteria has one");
    return sentences;
}

std::string check_words(const ReviewCheck& check) {
    return fmt::format("{}: {}{}{}", name_of(check.code), text_of(check.says),
                       check.to_do.empty() ? "" : "; to do: ", text_of(check.to_do));
}

std::string permitted_sentence(const ReviewTerms& terms) {
    const unsigned sessions = terms.sessions_per_day;
    return fmt::format(
        "This sequence alone, nothing else heard, rounded down; {}; "
        "criteria on a week count {:g} such day{}",
        sessions == 1 ? "one session a day, which may last as long"
                      : fmt::format("{} sessions a day, each 1/{} of it", sessions, sessions),
        terms.days_per_week, terms.days_per_week == 1.0 ? "" : "s");
}

std::string uncertainty_sentence(const Sequence& sequence) {
    const StatedUncertainty uncertainty = stated_or_default_uncertainty(sequence);
    return fmt::format("standard uncertainty (k = 1) {:.1f} dB, {}", uncertainty.whole.dB(),
                       text_of(uncertainty.source));
}

std::string protectors_sentence(const ReviewReport& report) {
    return report.protectors ? fmt::format("Protectors: {}, SHA-256 {}…", report.protectors->path,
                                           report.protectors->sha256.substr(0, 16))
                             : std::string(
                                   "No protectors: nothing worn is all that was reviewed; give "
                                   "--protectors FILE");
}

std::vector<std::string> method_sentences(const ReviewReport& report) {
    std::vector<std::string> sentences;
    if (!report.protectors) return sentences;
    const PredictionRules& rules = report.terms->policy.rules;
    sentences.push_back(fmt::format(
        "each as well seated and worn all the time, but for the rows \"poorly seated\": no more "
        "than {:.0f} dB (common practice, no source); method {}, {:g} % of people protected",
        poor_fit_reduction.dB(), rules.method ? name_of(*rules.method) : "best, chosen for each",
        rules.performance.percent()));
    for (const Method method : methods_used(report))
        sentences.push_back(fmt::format("method {}: {}", name_of(method), source_of(method)));
    const std::string derating = derating_words(rules.derating);
    sentences.push_back(derating.empty() ? "derating none" : derating);
    const std::string_view caution = caution_on(rules.derating.kind);
    if (!caution.empty()) sentences.emplace_back(caution);
    return sentences;
}

std::vector<std::string> criteria_sentences(const ReviewTerms& terms) {
    std::vector<std::string> sentences;
    for (const Criterion& criterion : terms.policy.criteria) {
        sentences.push_back(criterion.id + ": " + criterion_words(criterion));
    }
    sentences.push_back(fmt::format(
        "The exit status is 0 for a recommendation to approve, also on conditions or with named "
        "protection, else 1. It takes {} a day that something must permit by every limit; action "
        "values, which count no protectors, classifications and what is made for another age "
        "group decide nothing beside them.",
        text_of(terms.least_time)));
    return sentences;
}

std::string whom_words(const ReviewTerms& terms) {
    if (terms.role == Role::Staff) return "for staff";
    return fmt::format("for {}, {}", words_of(terms.age), name_of(terms.role));
}

std::vector<std::string> age_sentences(const SequenceReview& review, const ReviewTerms& terms) {
    std::vector<std::string> sentences;
    if (terms.age == AgeGroup::Neonate) {
        sentences.emplace_back(
            "Neonates: no published limit is known; those here are made for others, and a "
            "facility's own limit decides");
    }
    if (terms.age != AgeGroup::Adult) {
        sentences.emplace_back(
            "Labels and octave data of protectors are of adults: a small ear canal holds a plug "
            "worse; take one that is made for the ear, check both, test the fit where you can");
    }
    for (const std::string& id : terms.for_others) {
        std::vector<std::string> times;
        for (const ReviewedChoice& choice : review.choices) {
            if (!choice.can_be_worn) continue;
            for (const PermittedByCriterion& by : choice.permitted) {
                if (by.criterion->id == id)
                    times.push_back(
                        fmt::format("{} {}", worn_words(terms, choice), time_words(by.best)));
            }
        }
        if (times.empty()) continue;
        sentences.push_back(fmt::format(
            "Children, by {}, which decides nothing for adults (--for child), best estimate a "
            "day: {}",
            id, fmt::join(times, ", ")));
    }
    return sentences;
}

std::string predicted_sentence(const PredictedBeside& predicted) {
    return fmt::format(
        "Predicted: \"{}\" has {:+.1f} dB of LAeq beside this card, {} twice the uncertainty of "
        "both, {:.1f} dB.{}",
        predicted.file.path, predicted.LAeq.dB(), predicted.is_inside() ? "within" : "outside",
        2.0 * predicted.uncertainty.dB(),
        predicted.added_to ? fmt::format(" \"{}\" keeps it in its record.", *predicted.added_to)
                           : std::string());
}

}  // namespace earbudget::report
