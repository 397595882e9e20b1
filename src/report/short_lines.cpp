#include "report/short_lines.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/advice/phrases.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/text_style.hpp"
#include "report/words/accepted.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

std::string tightest_line(const Tightest& of) {
    const PersonResult& person = *of.person;
    const CriterionResult* tightest = of.limit;
    const std::string above = first_letter_large(action_value_words(person));
    if (person.criteria.empty())
        return "None of the plan's criteria is for this role: name one that is";
    if (lacks_limit_of_age(*person.person) && of.verdict == Verdict::Unknown)
        return "Cannot be decided: no published limit for neonates is known";
    if (!tightest) return joined({"None of its criteria is a limit", above}, ". ");
    std::string words;
    for (const Message& remark : tightest->remarks)
        if (remark.is(RemarkPhrase::AboveCeiling))
            words = tightest->criterion->id + ": " + text_of(remark);
    if (words.empty()) words = margin_first(*tightest);
    if (tightest->verdict != Verdict::Unknown) words = "Tightest: " + words;
    if (tightest->verdict == Verdict::Unknown) {
        words =
            fmt::format("Cannot be decided{}: {}",
                        hangs_on_unreached(person) ? ", some of it counts unreduced" : "", words);
    } else if (of.by_origin) {
        words += "; close since nobody measured the levels";
    } else if (tightest->by_probability() == Verdict::Close && tightest->probability_over) {
        words = fmt::format("Tightest: {} to {}; P(over) {}, accepted {} ({} {})",
                            margin_text(*tightest), tightest->criterion->id,
                            probability_text(*tightest), percent_of_accepted(person.person->policy),
                            quantity_text(*tightest), value_text(*tightest));
    }
    if (!of.when.empty()) words += ", " + of.when;
    if (tightest->verdict != Verdict::Within && of.as_bad > 1)
        words += fmt::format("; {} limits in all", of.as_bad);
    return joined({words, above}, ". ");
}

namespace {

std::string planned_worn(const InShort& of) {
    const Person& person = *of.planned->person;
    return person.wears.empty() ? "nothing" : worn_title(*of.plan, person.wears);
}

}  // namespace

std::string hand_out_line(const InShort& of, bool with_day) {
    if (!of.out) {
        return of.may_start()
                   ? fmt::format("Hand out: {}, as planned; there is too much to compare it with",
                                 planned_worn(of))
                   : "Do not start as planned; there is too much to look for something better";
    }
    const SheetPerson one = of.on_sheet();
    std::string words = without_marks(handed_out(*of.plan, one));
    if (!of.may_start()) return first_letter_large(words);
    words = (of.out->kind == HandOut::Kind::Instead ? "Hand out instead: " : "Hand out: ") + words;
    if (const auto& day = of.out->day; day && with_day) {
        const CriterionResult* tightest = tightest_limit(*day);
        const std::string close = day->verdict == Verdict::Within ? "" : words_of(day->verdict);
        words += "; then " + joined({close, tightest ? margin_text(*tightest) : ""}, ", ");
    }
    if (of.out->wears.empty()) return words;
    return words + (of.out->spare.empty() ? "; no spare" : "; spare: " + spare(*of.plan, one));
}

std::string check_line(const InShort& of) {
    const auto& wears = of.out ? of.out->wears : of.planned->person->wears;
    std::vector<std::string> unstated;
    for (const std::string& id : wears) {
        if (metal_unstated(*of.plan, *of.planned->person, of.plan->catalogue.find(id)->protector))
            unstated.push_back(id);
    }
    const std::string fit = of.may_start() ? poorly_seated_words(of.day()) : "";
    return joined({unstated.empty() ? ""
                                    : fmt::format("Make sure that {} is free of metal",
                                                  fmt::join(unstated, " and ")),
                   fit.empty() ? "" : "First check both ears: " + fit},
                  ". ");
}

namespace {

/// Whether it asks for what is handed out in any case.
bool is_handed_out(const Advice& advice, const InShort& of) {
    if (!of.out || of.out->kind != HandOut::Kind::Instead || !of.may_start()) return false;
    return advice.code == AdviceCode::WearThroughout ||
           (!advice.wears.empty() && are_same_set(advice.wears, of.out->wears));
}

/// What it says first, but for what stands beside "Do not start".
std::string what_to_do(const Advice& advice) {
    for (const Message& sentence : advice.says) {
        const bool said =
            sentence.is(AdvicePhrase::NothingInCatalogue) || sentence.is(AdvicePhrase::NoneOfTried);
        if (!said) return text_of(sentence);
    }
    return text_of(advice.says.front());
}

}  // namespace

std::string first_line(const InShort& of, bool fit_is_said) {
    bool said = false;
    for (const Advice& advice : of.planned->advice) {
        if (fit_is_said && advice.code == AdviceCode::FitCheck) return "";
        if (is_handed_out(advice, of)) {
            said = true;
            continue;
        }
        return (said ? "Or: " : "First: ") + what_to_do(advice);
    }
    return "";
}

namespace {

/// Of one sequence: the fewest more runs, and how long they last.
struct MoreRuns {
    std::optional<unsigned> runs;
    Seconds run{0.0};
};

std::string more_runs_words(const std::string& id, const MoreRuns& more) {
    constexpr std::size_t columns = 24;
    const std::string name = fitted(id, columns);
    if (!more.runs) return name + " not known";
    if (*more.runs == 0) return name + " none";
    const Seconds time = more.run * static_cast<double>(*more.runs);
    return fmt::format("{} {} ({})", name, runs_text(more.runs), table_time(time));
}

std::vector<std::pair<std::string, MoreRuns>> more_runs(const Plan& plan,
                                                        const PersonResult& person) {
    std::vector<std::pair<std::string, MoreRuns>> all;
    for (const SegmentResult& segment : person.segments) {
        if (!segment.row.sequence) continue;
        const MoreRuns more{segment.repeats_left, segment.row.run()};
        const std::string& id = plan.sequences[*segment.row.sequence].id;
        const auto same = std::ranges::find(all, id, &std::pair<std::string, MoreRuns>::first);
        if (same == all.end()) {
            all.emplace_back(id, more);
        } else if (more.runs < same->second.runs) {
            same->second = more;
        }
    }
    std::ranges::stable_sort(all, {}, [](const auto& one) { return one.second.runs; });
    return all;
}

}  // namespace

std::string runs_line(const InShort& of) {
    constexpr unsigned enough = 20;
    // Of what cannot be decided no run is known to fit.
    if (of.planned->verdict == Verdict::Unknown) return "";
    const auto all = more_runs(*of.plan, *of.planned);
    if (all.empty()) return "";
    const auto is_no = [](const auto& one) { return one.second.runs == 0U; };
    if (std::ranges::all_of(all, is_no)) return "More runs that fit as planned: none";
    std::vector<std::string> few;
    std::size_t others = 0;
    for (const auto& [id, more] : all) {
        if (more.runs && *more.runs > enough) {
            ++others;
        } else {
            few.push_back(more_runs_words(id, more));
        }
    }
    const std::string rest =
        fmt::format("{}{}", few.empty() ? "each " : "each of the others ", runs_text(enough + 1));
    return "More runs that fit: " +
           joined({fmt::format("{}", fmt::join(few, ", ")), others == 0 ? "" : rest}, ", ");
}

namespace {

std::string left_in_words(const InOneLine& one) {
    return one.tightest ? joined({margin_first(*one.tightest), one.when}, ", ") : "";
}

void add_one_line(Verdict verdict, const std::string& rest, Answers& answers) {
    const std::string words = words_of(verdict);
    answers.all.push_back(
        {verdict, first_letter_large(words), fitted(rest, short_columns - words.size() - 2)});
}

void add_together(const std::vector<InOneLine>& rest, Verdict verdict, Answers& answers) {
    std::size_t people = 0;
    const InOneLine* nearest = nullptr;
    for (const InOneLine& one : rest) {
        if (one.verdict != verdict) continue;
        people += one.ids.size();
        if (!one.tightest || !one.tightest->margin) continue;
        if (!nearest || is_tighter(*one.tightest, *nearest->tightest)) nearest = &one;
    }
    if (people == 0) return;
    std::string words = fmt::format("{} more", people);
    if (nearest)
        words += fmt::format(", the nearest {}, {}", short_people(nearest->ids, columns_of_people),
                             left_in_words(*nearest));
    add_one_line(verdict, words, answers);
}

}  // namespace

void add_beyond_a_screen(const std::vector<InOneLine>& rest, Answers& answers) {
    for (const InOneLine& one : rest) {
        if (one.verdict < Verdict::Unknown) continue;
        add_one_line(one.verdict,
                     joined({short_people(one.ids, columns_of_people), left_in_words(one)}, ", "),
                     answers);
    }
    add_together(rest, Verdict::Close, answers);
    add_together(rest, Verdict::Within, answers);
}

std::string worn_words(const InShort& of, std::size_t columns) {
    const Person& person = *of.planned->person;
    const std::string how = person.wears.empty() ? "" : how_worn(person.wearing);
    const bool in_tasks = person.wears.empty() && !worn_in_tasks(*of.plan, person).empty();
    const std::string worn = in_tasks ? "nothing but in tasks" : planned_worn(of);
    const std::size_t taken = width_of(how);
    const std::size_t room = columns - std::min(columns - 1, taken);
    return fitted(worn, room) + how;
}

std::vector<std::string> lines_of_group(const std::string& tightest, const std::string& hand_out,
                                        const std::string& check, const std::string& first,
                                        const std::string& runs) {
    std::vector<std::string> lines;
    std::vector<std::size_t> by_weight;  // places of what may take more than a line
    const auto add = [&](const std::string& line) {
        if (!line.empty()) lines.push_back(line);
    };
    add(tightest);
    add(hand_out);
    add(check);
    add(first);
    by_weight = {1, 0, lines.size() - 1};
    if (!runs.empty()) {
        lines.push_back(runs);
        by_weight.push_back(lines.size() - 1);
    }
    return fitted_lines(std::move(lines), most_lines_of_group - 1, by_weight, indent_of_lines);
}

}  // namespace earbudget::report
