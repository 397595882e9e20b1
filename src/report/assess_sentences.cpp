#include "report/assess_sentences.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/decision/ear_band.hpp"
#include "report/assess_words.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

std::string reason_sentence(std::string_view start, const CriterionResult& result) {
    return fmt::format("{}{}: {} {}, limit {}, {}{}{}", start, result.criterion->id,
                       quantity_text(result), value_text(result), limit_text(result),
                       margin_text(result), result.remark.empty() ? "" : "; ", result.remark);
}

std::string default_criteria_text(const PersonResult& person) {
    std::string ids;
    for (const Criterion& criterion : person.person->policy.criteria)
        ids += (ids.empty() ? "" : ", ") + criterion.id;
    return fmt::format("the plan names no criteria: these are those of role {} by default, {}",
                       name_of(person.person->role), ids);
}

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

std::string wears_text(const Plan& plan, const Person& person) {
    if (person.wears.empty()) return "wears nothing";
    std::string text = "wears ";
    for (const std::string& id : person.wears) {
        if (&id != &person.wears.front()) text += " and ";
        text += fmt::format("{} ({})", plan.catalogue.find(id)->protector.title, id);
    }
    if (person.wearing.poor_fit) text += ", poorly seated";
    if (person.wearing.fraction_of_time < 1.0) {
        text += fmt::format(", {:.0f} % of the time", 100.0 * person.wearing.fraction_of_time);
    }
    return text;
}

std::string ids_with(const Assessment& assessment, Verdict verdict) {
    std::string ids;
    for (const PersonResult& person : assessment.people) {
        if (person.verdict != verdict) continue;
        ids += (ids.empty() ? "" : ", ") + person.person->id;
    }
    return ids;
}

std::string verdict_words(const PersonResult& result) {
    const bool all_judged = result.not_judged.empty() || result.verdict != Verdict::Within;
    return words_of(result.verdict) + (all_judged ? "" : " that could be judged");
}

// Why the person's verdict is what it is: the limits that make it so, or the tightest one.
std::vector<std::string> reasons_of(const PersonResult& person) {
    std::vector<std::string> reasons;
    const CriterionResult* tightest = nullptr;
    for (const CriterionResult& result : person.criteria) {
        if (result.margin && (!tightest || *result.margin < *tightest->margin)) tightest = &result;
        if (result.verdict != person.verdict || person.verdict == Verdict::Within) continue;
        reasons.push_back(reason_sentence("", result));
    }
    if (person.verdict == Verdict::Within && tightest) {
        reasons.push_back(reason_sentence("tightest is ", *tightest));
    }
    if (person.verdict == Verdict::Close) {
        reasons.emplace_back(
            "close: the best estimate is within, the probability of being over is above "
            "5 %");
    }
    if (person.person->policy.criteria_by_default) {
        reasons.push_back(default_criteria_text(person));
    }
    if (person.criteria.empty()) {
        reasons.emplace_back("none of the plan's criteria is for this role: name one that is");
    }
    for (const std::string& id : person.not_judged) {
        reasons.push_back(
            fmt::format("not judged: the peak limit of {}, since no peak is stated", id));
    }
    return reasons;
}

std::vector<std::string> day_sentences(const PersonResult& person) {
    std::vector<std::string> sentences{exposure_sentence(person)};
    add_drivers(person, sentences);
    for (auto&& sentence : {poor_fit_sentence(person), usefulness_sentence(person),
                            method_sentence(person), spread_sentence(person)}) {
        if (!sentence.empty()) sentences.push_back(sentence);
    }
    return sentences;
}

std::vector<std::string> criteria_sentences(const Assessment& assessment) {
    std::vector<const Criterion*> used;
    for (const PersonResult& person : assessment.people) {
        for (const CriterionResult& result : person.criteria) {
            const bool known = std::any_of(used.begin(), used.end(), [&](const Criterion* c) {
                return c->id == result.criterion->id;
            });
            if (!known) used.push_back(result.criterion);
        }
    }
    std::vector<std::string> sentences;
    for (const Criterion* criterion : used) {
        sentences.push_back(fmt::format("{}: {}, {}{}{}", criterion->id, criterion->title,
                                        criterion->source, criterion->remark.empty() ? "" : "; ",
                                        criterion->remark));
    }
    return sentences;
}

}  // namespace earbudget::report
