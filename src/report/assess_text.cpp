#include "report/assess_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/decision/accepted_words.hpp"
#include "earbudget/decision/ear_band.hpp"
#include "earbudget/decision/for_each_at_once.hpp"
#include "report/assess_tables.hpp"
#include "report/assess_words.hpp"
#include "report/cautions.hpp"
#include "report/uncertainty_text.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

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

std::string headline(const Assessment& assessment, const TextStyle& style) {
    std::string text;
    for (const Verdict verdict :
         {Verdict::Over, Verdict::Unknown, Verdict::Close, Verdict::Within}) {
        const std::string ids = ids_with(assessment, verdict);
        if (ids.empty()) continue;
        std::string words = words_of(verdict);
        if (verdict == Verdict::Over) {
            std::transform(words.begin(), words.end(), words.begin(),
                           [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
        } else {
            words.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(words[0])));
        }
        text += fmt::format("{}: {}\n", style.verdict(verdict, words), ids);
    }
    return text;
}

std::string reason_line(std::string_view start, const CriterionResult& result) {
    return wrapped(
        fmt::format("{}{}: {} {}, limit {}, {}{}{}", start, result.criterion->id,
                    quantity_text(result), value_text(result), limit_text(result),
                    margin_text(result), result.remark.empty() ? "" : "; ", result.remark),
        2, 4);
}

std::string default_criteria_text(const PersonResult& person) {
    std::string ids;
    for (const Criterion& criterion : person.person->policy.criteria)
        ids += (ids.empty() ? "" : ", ") + criterion.id;
    return fmt::format("the plan names no criteria: these are those of role {} by default, {}",
                       name_of(person.person->role), ids);
}

// Why the person's verdict is what it is: the limits that make it so, or the tightest one.
std::string reason(const PersonResult& person) {
    std::string text;
    const CriterionResult* tightest = nullptr;
    for (const CriterionResult& result : person.criteria) {
        if (result.margin && (!tightest || *result.margin < *tightest->margin)) tightest = &result;
        if (result.verdict != person.verdict || person.verdict == Verdict::Within) continue;
        text += reason_line("", result);
    }
    if (person.verdict == Verdict::Within && tightest) {
        text += reason_line("tightest is ", *tightest);
    }
    if (person.verdict == Verdict::Close) {
        text += wrapped(fmt::format("close: the best estimate is within, the probability of being "
                                    "over is above {}",
                                    percent_of_accepted(person.person->policy)),
                        2, 4);
    }
    if (person.person->policy.criteria_by_default) {
        text += wrapped(default_criteria_text(person), 2, 4);
    }
    if (person.criteria.empty()) {
        text += wrapped("none of the plan's criteria is for this role: name one that is", 2, 4);
    }
    for (const std::string& id : person.not_judged) {
        text += wrapped(
            fmt::format("not judged: the peak limit of {}, since no peak is stated", id), 2, 4);
    }
    return text;
}

std::string advice_lines(const PersonResult& person) {
    if (person.advice.empty()) return "";
    std::string text = "  What to do\n";
    for (const Advice& advice : person.advice) {
        text += wrapped(fmt::format("- {}: {}", advice.code, advice.text), 4, 6);
    }
    return text;
}

std::string method_line(const PersonResult& person) {
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
    return wrapped(text, 2, 4);
}

std::string exposure_line(const PersonResult& person) {
    const DayExposure& day = person.exposure;
    const unsigned sessions = person.person->sessions_per_day;
    return wrapped(
        fmt::format(
            "day of {}: {}; outside LAeq {}, LEX,8h {}; at the ear LAeq {}, highest hour {}, "
            "LEX,8h {}, {:.3g} Pa²h",
            sessions == 1 ? "one session" : fmt::format("{} sessions", sessions),
            table_time(day.time), level_with_unit(day.LAeq), level_with_unit(day.LEX_8h),
            level_with_unit(day.at_ear_LAeq), level_with_unit(day.at_ear_LAeq_1h),
            level_with_unit(day.at_ear_LEX_8h), day.at_ear_Pa2h),
        2, 4);
}

std::string driver_lines(const PersonResult& person) {
    std::string text;
    if (person.largest_change) {
        text += wrapped(fmt::format("largest single change in reach: {}, {:.1f} dB less at the ear",
                                    person.largest_change->text, person.largest_change->drop.dB()),
                        2, 4);
    }
    if (person.study_Pa2h) {
        text += wrapped(fmt::format("over the {} visits of the study {:.3g} Pa²h at the ear",
                                    *person.person->visits, *person.study_Pa2h),
                        2, 4);
    }
    return text;
}

std::string spread_line(const PersonResult& person) {
    if (person.methods.size() < 2) return "";
    const MethodSpread spread = spread_of(person.methods);
    if (!spread.lowest || !spread.highest) return "";
    std::string each;
    for (const MethodOutcome& outcome : person.methods) {
        if (!outcome.at_ear_LEX_8h) continue;
        each += fmt::format("{}{} {:.1f}", each.empty() ? "" : ", ", name_of(outcome.method),
                            outcome.at_ear_LEX_8h->dB());
    }
    return wrapped(fmt::format("LEX,8h at the ear by every method that the data allow: {:.1f} to "
                               "{:.1f} dB(A) ({})",
                               spread.lowest->dB(), spread.highest->dB(), each),
                   2, 4);
}

std::string poor_fit_line(const PersonResult& person) {
    if (!person.poor_fit_LEX_8h || person.person->wearing.poor_fit) return "";
    std::string over;
    for (const CriterionResult& result : person.criteria) {
        if (result.quantity == "peak" || result.with_poor_fit != Verdict::Over) continue;
        over += (over.empty() ? "" : ", ") + result.criterion->id;
    }
    return wrapped(
        fmt::format("poorly seated (no more than {:.0f} dB): LEX,8h at the ear {:.1f} dB(A), {}",
                    poor_fit_reduction.dB(), person.poor_fit_LEX_8h->dB(),
                    over.empty() ? "no exposure limit exceeded" : "over " + over),
        2, 4);
}

std::string usefulness_line(const PersonResult& person) {
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
    return wrapped(text, 2, 4);
}

std::string verdict_words(const PersonResult& result) {
    const bool all_judged = result.not_judged.empty() || result.verdict != Verdict::Within;
    return words_of(result.verdict) + (all_judged ? "" : " that could be judged");
}

std::string person_block(const Plan& plan, const PersonResult& result, const TextStyle& style) {
    const Person& person = *result.person;
    std::string text =
        fmt::format("\n{} — {}, {}: {}\n", style.strong(person.id), name_of(person.role),
                    wears_text(plan, person), style.verdict(result.verdict, verdict_words(result)));
    text += reason(result) + advice_lines(result);
    if (!result.criteria.empty()) {
        text += '\n' + criteria_table(result) + uncertainty_lines(result);
    }
    text += '\n' + segment_table(plan, result) + exposure_line(result) + driver_lines(result) +
            poor_fit_line(result) + usefulness_line(result) + method_line(result) +
            spread_line(result);
    return text;
}

std::string sources(const Assessment& assessment) {
    std::vector<const Criterion*> used;
    for (const PersonResult& person : assessment.people) {
        for (const CriterionResult& result : person.criteria) {
            const bool known = std::any_of(used.begin(), used.end(), [&](const Criterion* c) {
                return c->id == result.criterion->id;
            });
            if (!known) used.push_back(result.criterion);
        }
    }
    if (used.empty()) return "";
    std::string text = "\nCriteria\n";
    for (const Criterion* criterion : used) {
        text += wrapped(
            fmt::format("{}: {}, {}{}{}", criterion->id, criterion->title, criterion->source,
                        criterion->remark.empty() ? "" : "; ", criterion->remark),
            2, 4);
    }
    return text;
}

std::string warnings(const Assessment& assessment) {
    if (assessment.warnings.empty()) return "";
    std::string text = "\nWarnings\n";
    for (const Warning& warning : assessment.warnings) {
        text += wrapped(fmt::format("- {} ({})", warning.text, warning.code), 2, 4);
    }
    return text;
}

std::string caution_lines() {
    std::string text = "\nCautions\n";
    for (const std::string_view caution : cautions)
        text += wrapped(caution, 2, 4);
    return text;
}

}  // namespace

std::string assess_text(const Assessment& assessment, const SourceFile& plan_file,
                        const Record& record, const TextStyle& style,
                        const std::optional<Earlier>& earlier) {
    std::string text = headline(assessment, style);
    if (!assessment.warnings.empty()) {
        text += fmt::format("With {} warning{}, below.\n", assessment.warnings.size(),
                            assessment.warnings.size() == 1 ? "" : "s");
    }
    text += fmt::format("\n{}\n{}, SHA-256 {}…\n", style.strong(assessment.plan->title),
                        plan_file.path, plan_file.sha256.substr(0, 16));
    if (earlier) text += '\n' + compare_text(earlier->comparison, earlier->file, style);
    const auto blocks = for_each_at_once(assessment.people, [&](const PersonResult& person) {
        std::string block = person_block(*assessment.plan, person, style);
        if (record.with_working) block += working_text(working_of(*assessment.plan, person));
        return block;
    });
    for (const std::string& block : blocks)
        text += block;
    return text + sources(assessment) + warnings(assessment) +
           record_text(record, rules_of(assessment)) + caution_lines();
}

}  // namespace earbudget::report
