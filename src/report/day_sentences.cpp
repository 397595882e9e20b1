#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/decision/accepted_words.hpp"
#include "earbudget/decision/ear_band.hpp"
#include "report/assess_sentences.hpp"
#include "report/assess_words.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

std::string method_sentence(const PersonResult& person) {
    if (!person.method) return "";
    const PredictionRules& rules = person.person->policy.rules;
    std::string text = fmt::format("method {}{}: {}", name_of(*person.method),
                                   rules.method ? "" : ", the best that the data allow",
                                   source_of(*person.method));
    const bool iso = *person.method == Method::Octave || *person.method == Method::Hml ||
                     *person.method == Method::Snr;
    if (iso) text += fmt::format(", protects {:g} % of people", rules.performance.percent());
    const Derating& derating = person.derating;
    if (derating.kind == Derating::Kind::Own) {
        text +=
            fmt::format("; derating {:.1f} dB: {}", derating.own.dB(), source_of(derating.kind));
    } else if (derating.kind != Derating::Kind::None) {
        text += fmt::format("; derating {}: {}", name_of(derating.kind), source_of(derating.kind));
    } else {
        text += "; no derating";
    }
    return text;
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
    if (!any) return "";
    return fmt::format("more runs that fit: of each sequence alone, the others as planned, with {}",
                       words_of_accepted(person.person->policy));
}

void add_drivers(const PersonResult& person, std::vector<std::string>& sentences) {
    if (person.largest_change) {
        sentences.push_back(
            fmt::format("largest single change in reach: {}, {:.1f} dB less at the ear",
                        person.largest_change->text, person.largest_change->drop.dB()));
    }
    if (person.study_Pa2h) {
        sentences.push_back(fmt::format("over the {} visits of the study {:.3g} Pa²h at the ear",
                                        *person.person->visits, *person.study_Pa2h));
    }
}

std::string spread_sentence(const PersonResult& person) {
    if (person.methods.size() < 2) return "";
    const MethodSpread spread = spread_of(person.methods);
    if (!spread.lowest || !spread.highest) return "";
    std::string each;
    for (const MethodOutcome& outcome : person.methods) {
        if (!outcome.at_ear_LEX_8h) continue;
        each += fmt::format("{}{} {:.1f}", each.empty() ? "" : ", ", name_of(outcome.method),
                            outcome.at_ear_LEX_8h->dB());
    }
    return fmt::format(
        "LEX,8h at the ear by every method that the data allow: {:.1f} to "
        "{:.1f} dB(A) ({})",
        spread.lowest->dB(), spread.highest->dB(), each);
}

std::string poor_fit_sentence(const PersonResult& person) {
    if (!person.poor_fit_LEX_8h || person.person->wearing.poor_fit) return "";
    std::string over;
    for (const CriterionResult& result : person.criteria) {
        if (result.quantity == "peak" || result.with_poor_fit != Verdict::Over) continue;
        over += (over.empty() ? "" : ", ") + result.criterion->id;
    }
    return fmt::format("poorly seated (no more than {:.0f} dB): LEX,8h at the ear {:.1f} dB(A), {}",
                       poor_fit_reduction.dB(), person.poor_fit_LEX_8h->dB(),
                       over.empty() ? "no exposure limit exceeded" : "over " + over);
}

std::string usefulness_sentence(const PersonResult& person) {
    if (!person.while_scanning || person.person->wears.empty()) return "";
    std::string text =
        fmt::format("{:.1f} dB(A) at the ear while sequences run: {} by EN 458",
                    person.while_scanning->dB(), name_of(ear_band(*person.while_scanning)));
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

std::vector<std::string> day_sentences(const PersonResult& person) {
    std::vector<std::string> sentences;
    if (std::string runs = runs_sentence(person); !runs.empty())
        sentences.push_back(std::move(runs));
    sentences.push_back(exposure_sentence(person));
    add_drivers(person, sentences);
    for (auto&& sentence : {poor_fit_sentence(person), usefulness_sentence(person),
                            method_sentence(person), spread_sentence(person)}) {
        if (!sentence.empty()) sentences.push_back(sentence);
    }
    return sentences;
}

}  // namespace earbudget::report
