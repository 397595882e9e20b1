#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/day/ear_band.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/text_style.hpp"
#include "report/words/accepted.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

/// Rows that are predicted alike.
struct PredictedAlike {
    const Prediction* prediction;  ///< null: nothing reaches them
    std::vector<std::string> names;
};

std::string name_in(const Plan& plan, const Person& person, const ExposureRow& row) {
    if (row.sequence) return fmt::format("\"{}\"", plan.sequences[*row.sequence].id);
    return row.task && person.tasks[*row.task].levels ? "other noise" : "the background";
}

bool are_alike(const Prediction* a, const Prediction* b) {
    if (!a || !b) return a == b;
    return a->method == b->method && a->form == b->form &&
           a->form_uncertainty == b->form_uncertainty;
}

std::vector<PredictedAlike> predicted_alike(const Plan& plan, const PersonResult& person) {
    std::vector<PredictedAlike> all;
    for (const SegmentResult& segment : person.segments) {
        const ExposureRow& row = segment.row;
        if (!row.with_protector || !row.sound) continue;
        const Prediction* const prediction = row.prediction.get();
        auto same = std::ranges::find_if(all, [&](const PredictedAlike& other) {
            return are_alike(other.prediction, prediction);
        });
        if (same == all.end()) same = all.insert(same, {prediction, {}});
        add_once(name_in(plan, *person.person, row), same->names);
    }
    return all;
}

std::string name_with_form(const Prediction& prediction) {
    return joined({std::string(name_of(prediction.method)), std::string(words_of(prediction.form))},
                  " ");
}

std::string source_with_uncertainty(const Prediction& prediction) {
    std::string text(source_of(prediction.method, prediction.form));
    if (prediction.form_uncertainty.dB() > 0.0) {
        text += fmt::format(", ± {:.1f} dB (k = 1) since the spectrum is not known",
                            prediction.form_uncertainty.dB());
    }
    return text;
}

/// One method for all that is heard, or which for what.
std::string words_of_methods(const std::vector<PredictedAlike>& all, bool best) {
    const char* const chosen = best ? ", the best that the data allow" : "";
    if (const Prediction* only = all.front().prediction; all.size() == 1 && only) {
        return fmt::format("method {}{}: {}", name_with_form(*only), chosen,
                           source_with_uncertainty(*only));
    }
    return fmt::format("methods{}: {}", chosen, joined(all, "; ", [](const PredictedAlike& alike) {
                           const std::string by =
                               alike.prediction
                                   ? fmt::format("{} ({})", name_with_form(*alike.prediction),
                                                 source_with_uncertainty(*alike.prediction))
                                   : "none, so that it counts unreduced,";
                           return fmt::format("{} for {}", by, fmt::join(alike.names, ", "));
                       }));
}

std::string method_sentence(const Plan& plan, const PersonResult& person) {
    const auto all = predicted_alike(plan, person);
    if (all.empty()) return "";
    const PredictionRules& rules = person.person->policy.rules;
    std::string text = words_of_methods(all, !rules.method);
    const auto iso = std::ranges::find_if(all, [](const PredictedAlike& alike) {
        return alike.prediction && method_rows[alike.prediction->method].follows_performance();
    });
    if (iso != all.end()) {
        text += fmt::format(", protects {:g} % of people", iso->prediction->performance.percent());
    }
    const std::string derating = derating_words(person.derating);
    return text + "; " + (derating.empty() ? "no derating" : derating);
}

std::string exposure_sentence(const PersonResult& person) {
    const DayExposure& day = person.exposure;
    const unsigned sessions = person.person->sessions_per_day;
    return fmt::format(
        "day of {}: {}; outside LAeq {}, LEX,8h {}; at the ear LAeq {}, highest hour {}, "
        "LEX,8h {}, {:.3g} Pa²h",
        sessions == 1 ? "one session" : fmt::format("{} sessions", sessions), table_time(day.time),
        level_with_unit(day.LAeq), level_with_unit(day.LEX_8h), level_with_unit(day.at_ear_LAeq),
        level_with_unit(day.at_ear_LAeq_1h), level_with_unit(day.at_ear_LEX_8h), day.at_ear_Pa2h);
}

std::string runs_sentence(const PersonResult& person) {
    const bool any = std::ranges::any_of(
        person.segments, [](const SegmentResult& segment) { return !!segment.repeats_left; });
    if (!any || is_by_limits_of_others(person)) return "";
    return fmt::format("more runs that fit: of each sequence alone, the others as planned, with {}",
                       words_of_accepted(person.person->policy));
}

void add_drivers(const PersonResult& person, std::vector<std::string>& sentences) {
    if (person.largest_change) {
        sentences.push_back(
            fmt::format("largest single change in reach: {}, {:.1f} dB less at the ear",
                        text_of(person.largest_change->says), person.largest_change->drop.dB()));
    }
    if (person.study_Pa2h) {
        const unsigned visits = *person.person->visits;
        sentences.push_back(fmt::format(
            "over the {} of the study {:.3g} Pa²h at the ear",
            visits == 1 ? "one visit" : fmt::format("{} visits", visits), *person.study_Pa2h));
    }
}

std::string spread_sentence(const PersonResult& person) {
    if (person.methods.size() < 2) return "";
    const MethodSpread spread = spread_of(person.methods);
    if (!spread.lowest || !spread.highest) return "";
    const std::string each = joined(person.methods, ", ", [](const MethodOutcome& outcome) {
        return outcome.at_ear_LEX_8h
                   ? fmt::format("{} {:.1f}", name_of(outcome.method), outcome.at_ear_LEX_8h->dB())
                   : std::string();
    });
    return fmt::format(
        "LEX,8h at the ear by every method that the data allow: {:.1f} to "
        "{:.1f} dB(A) ({})",
        spread.lowest->dB(), spread.highest->dB(), each);
}

/// The exposure limits that come out so poorly seated.
std::string ids_poorly_seated(const PersonResult& person, Verdict verdict) {
    return joined(person.criteria, ", ", [&](const CriterionResult& result) {
        const bool counts = result.decides && !result.is_peak;
        return counts && result.with_poor_fit == verdict ? result.criterion->id : "";
    });
}

std::string undecided_poorly_seated(const PersonResult& person) {
    const std::string unknown = ids_poorly_seated(person, Verdict::Unknown);
    if (unknown.empty()) return "";
    return lacks_limit_of_age(*person.person)
               ? "cannot be decided, since no published limit for neonates is known"
               : fmt::format("cannot be decided by {}, since some of it counts unreduced for want "
                             "of a method",
                             unknown);
}

/// "no exposure limit exceeded" only where each of them is kept as surely as the verdict asks.
std::string limits_poorly_seated(const PersonResult& person) {
    const std::string over = ids_poorly_seated(person, Verdict::Over);
    const std::string text = joined(
        {over.empty() ? "" : "over " + over, undecided_poorly_seated(person)}, "; ");
    if (!text.empty()) return text;
    const std::string close = ids_poorly_seated(person, Verdict::Close);
    if (close.empty()) return "no exposure limit exceeded";
    return person.unmeasured.empty() ? "close to " + close
                                     : "close, no better since nobody measured the levels";
}

std::string poor_fit_sentence(const PersonResult& person) {
    if (!person.poor_fit_LEX_8h || person.person->wearing.poor_fit) return "";
    std::string text = fmt::format(
        "poorly seated (no more than {:.0f} dB): LEX,8h at the ear {:.1f} dB(A), {}",
        poor_fit_reduction.dB(), person.poor_fit_LEX_8h->dB(), limits_poorly_seated(person));
    for (const CriterionResult& result : person.criteria) {
        if (!result.value_with_poor_fit || result.value_with_poor_fit == result.value) continue;
        text +=
            fmt::format("; the peak outside counts then, {}{:.1f} dB(C), limit {} of {}: {}",
                        result.by_bound ? "at most " : "", *result.value_with_poor_fit,
                        limit_text(result), result.criterion->id, name_of(*result.with_poor_fit));
    }
    return text;
}

std::string usefulness_sentence(const PersonResult& person) {
    if (!person.while_scanning || person.person->wears.empty()) return "";
    std::string text = fmt::format(
        "{:.1f} dB(A) at the ear while sequences run{}: {}", person.while_scanning->dB(),
        hangs_on_unreached(person) ? ", of which some counts unreduced" : "",
        text_of(by_EN_458(*person.while_scanning, person.verdict == Verdict::Within,
                          person.verdict == Verdict::Close)));
    if (const auto& intercom = person.intercom) {
        text += fmt::format("; intercom {:.1f} dB(A) at the ear", intercom->speech.dB());
        if (const auto above = intercom->above_residual()) {
            text += fmt::format(", {:.1f} dB {} what is left of the room between runs",
                                std::abs(above->dB()), above->dB() < 0.0 ? "below" : "above");
        }
    }
    return text;
}

}  // namespace

std::vector<std::string> day_sentences(const Plan& plan, const PersonResult& person) {
    std::vector<std::string> sentences;
    if (std::string runs = runs_sentence(person); !runs.empty())
        sentences.push_back(std::move(runs));
    sentences.push_back(exposure_sentence(person));
    add_drivers(person, sentences);
    for (auto&& sentence : {poor_fit_sentence(person), usefulness_sentence(person),
                            method_sentence(plan, person), spread_sentence(person)}) {
        if (!sentence.empty()) sentences.push_back(sentence);
    }
    return sentences;
}

}  // namespace earbudget::report
