#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "earbudget/advice/phrases.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/homogeneous_groups.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/sheet_parts.hpp"
#include "report/short_answer.hpp"
#include "report/text_style.hpp"
#include "report/words/accepted.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

constexpr std::size_t columns_of_people = 30;
constexpr std::size_t indent_of_lines = 2;

/// Of people alike what a short answer is made from.
struct InShort {
    const Plan* plan;
    std::vector<std::string> ids;
    const PersonResult* planned;
    const HandOut* out;  ///< null: not looked for

    [[nodiscard]] SheetPerson on_sheet() const { return {planned, out}; }
    [[nodiscard]] const PersonResult& day() const { return out ? on_sheet().day() : *planned; }
    [[nodiscard]] bool may_start() const {
        if (out) return !may_not_start(on_sheet());
        return planned->verdict <= Verdict::Close;
    }
};

/// The limit that decides, what is left of it first, and the action values beside it.
std::string tightest_line(const PersonResult& person) {
    const CriterionResult* tightest = tightest_limit(person);
    const std::string above = first_letter_large(action_value_words(person));
    if (person.criteria.empty())
        return "None of the plan's criteria is for this role: name one that is";
    if (lacks_limit_of_age(*person.person) && person.verdict == Verdict::Unknown)
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
    } else if (person.is_limited_by_origin()) {
        words += "; close since nobody measured the levels";
    } else if (tightest->by_probability() == Verdict::Close && tightest->probability_over) {
        words = fmt::format("Tightest: {} to {}; P(over) {}, accepted {} ({} {})",
                            margin_text(*tightest), tightest->criterion->id,
                            probability_text(*tightest), percent_of_accepted(person.person->policy),
                            quantity_text(*tightest), value_text(*tightest));
    }
    const auto as_bad = std::ranges::count_if(person.criteria, [&](const CriterionResult& other) {
        return other.decides && other.verdict == tightest->verdict;
    });
    if (tightest->verdict != Verdict::Within && as_bad > 1)
        words += fmt::format("; {} limits in all", as_bad);
    return joined({words, above}, ". ");
}

std::string planned_worn(const InShort& of) {
    const Person& person = *of.planned->person;
    return person.wears.empty() ? "nothing" : worn_title(*of.plan, person.wears);
}

std::string hand_out_line(const InShort& of) {
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
    if (const auto& day = of.out->day) {
        const CriterionResult* tightest = tightest_limit(*day);
        const std::string close = day->verdict == Verdict::Within ? "" : words_of(day->verdict);
        words += "; then " + joined({close, tightest ? margin_text(*tightest) : ""}, ", ");
    }
    if (of.out->wears.empty()) return words;
    return words + (of.out->spare.empty() ? "; no spare" : "; spare: " + spare(*of.plan, one));
}

/// What must be made sure of before anything is put on.
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

/// The first advice; where that is said already, the next.
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

/// How many more of each loud run fit, the fewest first; those of which nobody would run as many
/// are counted.
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

/// Who, in which role, wearing what.
std::string who_line(const InShort& of) {
    const Person& person = *of.planned->person;
    const std::string people = short_people(of.ids, columns_of_people);
    const std::string role(name_of(person.role));
    const std::string how = person.wears.empty() ? "" : how_worn(person.wearing);
    const bool in_tasks = person.wears.empty() && !worn_in_tasks(*of.plan, person).empty();
    const std::string worn = in_tasks ? "nothing but in tasks" : planned_worn(of);
    const std::size_t taken = width_of(words_of(of.planned->verdict)) + width_of(people) +
                              width_of(role) + width_of(how) + width_of(": , , wears ");
    const std::size_t room = short_columns - std::min(short_columns - 1, taken);
    return fmt::format("{}, {}, wears {}{}", people, role, fitted(worn, room), how);
}

Answer answer_in_full(const InShort& of) {
    const std::string check = check_line(of);
    const std::string first = first_line(of, check.find("both ears") != check.npos);
    std::vector<std::string> lines;
    std::vector<std::size_t> by_weight;  // places of what may take more than a line
    const auto add = [&](const std::string& line) {
        if (!line.empty()) lines.push_back(line);
    };
    add(tightest_line(*of.planned));
    add(hand_out_line(of));
    add(check);
    if (!first.empty()) lines.push_back(first);
    by_weight = {1, 0, lines.size() - 1};
    if (const std::string runs = runs_line(of); !runs.empty()) {
        lines.push_back(runs);
        by_weight.push_back(lines.size() - 1);
    }
    return {of.planned->verdict, first_letter_large(words_of(of.planned->verdict)), who_line(of),
            fitted_lines(std::move(lines), most_lines_of_group - 1, by_weight, indent_of_lines)};
}

/// In one line, beyond a screen.
Answer answer_in_brief(const InShort& of) {
    const std::string verdict = words_of(of.planned->verdict);
    const CriterionResult* tightest = tightest_limit(*of.planned);
    const std::string rest = joined(
        {short_people(of.ids, columns_of_people), tightest ? margin_first(*tightest) : ""}, ", ");
    return {of.planned->verdict, first_letter_large(verdict),
            fitted(rest, short_columns - verdict.size() - 2)};
}

/// Everyone else with a verdict, in one line: how many, and who is nearest to a limit.
void add_together(std::span<const InShort> rest, Verdict verdict, Answers& answers) {
    std::size_t people = 0;
    const InShort* nearest = nullptr;
    std::optional<LevelDifference> least;
    for (const InShort& one : rest) {
        if (one.planned->verdict != verdict) continue;
        people += one.ids.size();
        const CriterionResult* tightest = tightest_limit(*one.planned);
        if (!tightest || !tightest->margin || (least && *least <= *tightest->margin)) continue;
        least = tightest->margin;
        nearest = &one;
    }
    if (people == 0) return;
    std::string words = fmt::format("{} more", people);
    if (nearest)
        words += fmt::format(", the nearest {}, {}", short_people(nearest->ids, columns_of_people),
                             margin_first(*tightest_limit(*nearest->planned)));
    answers.all.push_back({verdict, first_letter_large(words_of(verdict)),
                           fitted(words, short_columns - words_of(verdict).size() - 2)});
}

auto groups_worst_first(const Assessment& assessment) {
    auto groups = people_together(assessment.people);
    std::ranges::stable_sort(groups, std::ranges::greater(), [&](const auto& group) {
        return assessment.people[group.front()].verdict;
    });
    return groups;
}

std::vector<InShort> worst_first(const Assessment& assessment, const HandOuts* outs) {
    std::vector<InShort> all;
    for (const auto& group : groups_worst_first(assessment)) {
        all.push_back({assessment.plan, ids_of_group(assessment.people, group),
                       &assessment.people[group.front()],
                       outs ? &outs->each[group.front()] : nullptr});
    }
    return all;
}

}  // namespace

std::vector<std::size_t> people_told_in_full(const Assessment& assessment) {
    const auto groups = groups_worst_first(assessment);
    std::vector<std::size_t> people;
    for (std::size_t n = 0; n < std::min(groups.size(), groups_in_full); ++n)
        people.insert(people.end(), groups[n].begin(), groups[n].end());
    std::ranges::sort(people);
    return people;
}

Answers short_answers(const Assessment& assessment, const HandOuts* outs) {
    Answers answers{.all = {}, .marks = verdict_marks, .loud = true, .loud_unknown = true};
    const auto all = worst_first(assessment, outs);
    const std::span<const InShort> in_full(all.data(), std::min(all.size(), groups_in_full));
    const std::span<const InShort> rest(all.data() + in_full.size(), all.size() - in_full.size());
    for (const InShort& one : in_full)
        answers.all.push_back(answer_in_full(one));
    for (const InShort& one : rest)
        if (one.planned->verdict >= Verdict::Unknown) answers.all.push_back(answer_in_brief(one));
    add_together(rest, Verdict::Close, answers);
    add_together(rest, Verdict::Within, answers);
    return answers;
}

}  // namespace earbudget::report
