#include <algorithm>
#include <map>
#include <utility>

#include <fmt/format.h>

#include "earbudget/advice/phrases.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/homogeneous_groups.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/short_lines.hpp"
#include "report/text_style.hpp"
#include "report/words/accepted.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

constexpr std::size_t columns_of_name = 38;
constexpr std::size_t most_examples = 2;
constexpr std::size_t most_levels_named = 2;
constexpr std::size_t most_runs_named = 12;

}  // namespace

std::string tightest_line(const Tightest& of) {
    const PersonResult& person = *of.person;
    const CriterionResult* tightest = of.limit;
    const std::string above = first_letter_large(action_value_words(person));
    if (person.criteria.empty())
        return "None of the plan's criteria is for this role: name one that is";
    if (lacks_limit_of_age(*person.person) && of.verdict == Verdict::Unknown)
        return "Cannot be decided: no published limit for neonates is known; put the facility's "
               "own into "
               "this person's criteria";
    if (!tightest) return joined({"None of its criteria is a limit", above}, ". ");
    std::string words;
    for (const Message& remark : tightest->remarks)
        if (remark.is(RemarkPhrase::AboveCeiling))
            words = tightest->criterion->id + ": " + text_of(remark);
    if (words.empty()) words = margin_first(*tightest);
    const std::string when = of.when.empty() ? "" : " " + of.when;  // never cut
    const std::string begin = "Tightest" + when + ": ";
    if (tightest->verdict != Verdict::Unknown) words = begin + words;
    if (tightest->verdict == Verdict::Unknown) {
        words =
            fmt::format("Cannot be decided{}{}: {}", when,
                        hangs_on_unreached(person) ? ", some of it counts unreduced" : "", words);
    } else if (of.by_origin) {
        words += "; close since nobody measured the levels";
    } else if (tightest->by_probability() == Verdict::Close && tightest->probability_over) {
        words = fmt::format("{}{} to {}; P(over) {}, accepted {} ({} {})", begin,
                            margin_text(*tightest), tightest->criterion->id,
                            probability_text(*tightest), percent_of_accepted(person.person->policy),
                            quantity_text(*tightest), value_text(*tightest));
    }
    if (tightest->verdict <= Verdict::Close)
        words = joined({words, examples_words(person.examples, most_examples)}, "; ");
    if (tightest->verdict != Verdict::Within && of.as_bad > 1)
        words += fmt::format("; {} limits in all", of.as_bad);
    return joined({words, above}, ". ");
}

namespace {

/// Of a plan alone.
Tightest tightest_in(const PersonResult& person) {
    const CriterionResult* limit = tightest_limit(person);
    const auto as_bad = std::ranges::count_if(person.criteria, [&](const CriterionResult& other) {
        return limit && other.decides && other.verdict == limit->verdict;
    });
    return {.person = &person,
            .limit = limit,
            .verdict = person.verdict,
            .by_origin = person.is_limited_by_origin(),
            .as_bad = static_cast<std::size_t>(as_bad)};
}

/// The same in one line.
std::string tightest_in_brief(const PersonResult& person) {
    const CriterionResult* tightest = tightest_limit(person);
    if (!tightest || tightest->made_for_others || tightest->verdict == Verdict::Unknown)
        return tightest_line(tightest_in(person));
    const std::string why =
        person.is_limited_by_origin() ? std::string("; nobody measured the levels")
        : person.examples.empty()     ? std::string()
                                      : "; by examples (" + where_the_rest_is() + ")";
    const std::string margin = margin_text(*tightest);
    return fmt::format("Tightest: {}{}{}{}", margin.empty() ? value_text(*tightest) : margin,
                       margin.ends_with("left") ? " to "
                       : margin.empty()         ? " of "
                                                : " ",
                       fitted(tightest->criterion->id, columns_of_name), why);
}

}  // namespace

std::string worn_in_short(const Plan& plan, WornIds worn, bool by_id) {
    if (worn.empty()) return "nothing";
    return by_id ? short_names_of(plan.catalogue, worn) : worn_title(plan, worn);
}

std::string hand_out_line(const InShort& of, bool by_id, bool with_day) {
    if (!of.out) {
        return of.may_start()
                   ? fmt::format("Hand out: {}, as planned; it was not compared with others",
                                 worn_in_short(*of.plan, of.planned->person->wears, by_id))
                   : "Do not start as planned; something better was not looked for";
    }
    const SheetPerson one = of.on_sheet();
    std::string words = without_marks(handed_out(*of.plan, one, by_id));
    if (!of.may_start()) return first_letter_large(words);
    words = (of.out->kind == HandOut::Kind::Instead ? "Hand out instead: " : "Hand out: ") + words;
    if (of.out->kind == HandOut::Kind::Instead && of.out->plan_is_refused)
        words += " (the plan's does not suit)";
    if (const auto& day = of.out->day; day && with_day) {
        const CriterionResult* tightest = tightest_limit(*day);
        const std::string close = day->verdict == Verdict::Within ? ""
                                  : day->is_limited_by_origin()   ? "close, levels not measured"
                                                                  : words_of(day->verdict);
        words += "; then " + joined({close, tightest ? margin_text(*tightest) : ""}, ", ");
    }
    if (of.out->wears.empty())
        return words + (action_value_words(*of.planned).find("offered") != std::string::npos
                            ? "; offer protectors, as the action value asks"
                            : "");
    return words +
           (of.out->spare.empty() ? "; no spare" : "; spare: " + spare(*of.plan, one, by_id));
}

std::string check_line(const InShort& of) {
    const auto& wears = of.out ? of.out->wears : of.planned->person->wears;
    std::vector<std::string> unstated;
    for (const std::string& id : wears) {
        if (metal_unstated(*of.plan, *of.planned->person, of.plan->catalogue.find(id)->protector))
            unstated.push_back(id);
    }
    const std::string fit = of.may_start() ? poorly_seated_words(of.day()) : "";
    std::vector<std::string> coil;
    for (const std::string& id : wears) {
        const Protector& protector = of.plan->catalogue.find(id)->protector;
        if (of.planned->person->role == Role::Participant && protector.is_earmuff() &&
            !protector.fits_head_coil)
            coil.push_back(id);
    }
    return joined(
        {coil.empty()
             ? ""
             : fmt::format("Make sure that {} fits the head coil", fmt::join(coil, " and ")),
         unstated.empty()
             ? ""
             : fmt::format("Make sure that {} is free of metal", fmt::join(unstated, " and ")),
         fit.empty() ? "" : "First check both ears: " + fit},
        ". ");
}

namespace {

/// Whether it asks for what is handed out in any case.
bool is_handed_out(const Advice& advice, const InShort& of) {
    if (!of.out || of.out->kind != HandOut::Kind::Instead || !of.may_start()) return false;
    // One answer to what is worn: another that would do too is no first thing to do.
    return advice.code == AdviceCode::WearThroughout || !advice.wears.empty();
}

/// What keeps the accepted probability, which no number by the best estimate is told without.
bool is_sure_number(const Message& sentence) {
    using enum AdvicePhrase;
    return sentence.is(SureReduction) || sentence.is(SomeKeep) || sentence.is(AtMostKeeps) ||
           sentence.is(SessionsThatKeep);
}

/// Whether it helps by the best estimate alone.
bool is_unsure(const Advice& advice) {
    using enum AdvicePhrase;
    return std::ranges::any_of(advice.says, [](const Message& sentence) {
        return sentence.is(NoNumberKeeps) || sentence.is(LessThanOneKeeps) ||
               sentence.is(NotKeptWithout) || sentence.is(BetterLeftOut) ||
               sentence.is(NotEvenOneSession);
    });
}

/// What it says first, but for what stands beside "Do not start".
std::string what_to_do(const Advice& advice, const PersonResult& person, std::size_t most_levels) {
    if (!advice.in_short.empty()) return text_of(advice.in_short);
    for (std::size_t n = 0; n < advice.says.size(); ++n) {
        const Message& sentence = advice.says[n];
        const bool said =
            sentence.is(AdvicePhrase::NothingInCatalogue) || sentence.is(AdvicePhrase::NoneOfTried);
        if (sentence.is(AdvicePhrase::MeasureWhatIsNot))
            return "Measure the levels of " + some_of(texts_of(person.unmeasured), most_levels);
        if (said) continue;
        const bool more = n + 1 < advice.says.size() && is_sure_number(advice.says[n + 1]);
        return text_of(sentence) + (more ? " " + text_of(advice.says[n + 1]) : "");
    }
    return text_of(advice.says.front());
}

}  // namespace

std::string first_line(const InShort& of, bool fit_is_said, std::size_t most_levels) {
    bool said = false;
    const Advice* unsure = nullptr;
    const auto told = [&](const Advice& advice) {
        return (said ? "Or: " : "First: ") + what_to_do(advice, *of.planned, most_levels);
    };
    for (const Advice& advice : of.planned->advice) {
        if (fit_is_said && advice.code == AdviceCode::FitCheck) break;
        // The verdict hangs on a limit of the facility's own, which the first line asks for.
        if (advice.code == AdviceCode::FitCheck && lacks_limit_of_age(*of.planned->person)) break;
        if (advice.code == AdviceCode::MetalOutside) continue;  // stands before everything
        if (is_handed_out(advice, of)) {
            said = true;
        } else if (is_unsure(advice)) {
            if (!unsure) unsure = &advice;
        } else {
            return told(advice);
        }
    }
    // Nothing is sure: rather nothing beside what is handed out.
    return unsure && !said ? told(*unsure) + " That is not sure." : "";
}

namespace {

/// Of one sequence: the fewest more runs, and how long they last.
struct MoreRuns {
    std::optional<unsigned> runs;
    Seconds run{0.0};
};

std::string more_runs_words(const std::string& id, const MoreRuns& more) {
    const std::string name = fitted(id, columns_of_name);
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

std::string runs_line(const InShort& of, std::size_t most) {
    constexpr unsigned enough = 20;
    // Beside somebody who does not start no run is said to fit.
    if (of.planned->verdict == Verdict::Unknown || !of.may_start()) return "";
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
    const bool in_full = few.size() <= most + 1;
    return "More runs that fit: " +
           joined({some_of(few, most, ", ", ", "), others == 0 || !in_full ? "" : rest}, ", ");
}

namespace {

/// Who, in which role, wearing what; protectors by id where their titles have no room.
std::string who_line(const InShort& of) {
    const Person& person = *of.planned->person;
    const std::string how = person.wears.empty() ? "" : how_worn(person.wearing);
    const bool in_tasks = person.wears.empty() && !worn_in_tasks(*of.plan, person).empty();
    const auto words = [&](bool by_id) {
        return fmt::format(
            "{}, {}, wears {}{}", short_people(of.ids, columns_of_people), name_of(person.role),
            in_tasks ? "nothing but in tasks" : worn_in_short(*of.plan, person.wears, by_id), how);
    };
    const std::string verdict = words_of(of.planned->verdict) + ": ";
    const std::string with_titles = words(false);
    return lines_taken(verdict + with_titles, 0) == 1 ? with_titles : words(true);
}

/// What a group is told, before it is known how many lines that takes.
struct Parts {
    std::string tightest, hand_out, check, first;
    bool fit_is_said = false;

    [[nodiscard]] std::vector<std::string> needed() const {
        std::vector<std::string> all;
        for (const std::string& one : {tightest, hand_out, check})
            if (!one.empty()) all.push_back(one);
        return all;
    }
    [[nodiscard]] std::size_t lines() const {
        std::size_t taken = 0;
        for (const std::string& one : needed())
            taken += lines_taken(one, indent_of_lines);
        return taken;
    }
};

/// Shorter and shorter, until there is room: ids for titles, the margin without its figures, what
/// to check in the line of what to hand out. What to hand out and its spare are never cut.
Parts parts_for(const InShort& of, std::size_t lines) {
    Parts parts{tightest_line(tightest_in(*of.planned)), hand_out_line(of), check_line(of), "",
                false};
    parts.fit_is_said = parts.check.find("both ears") != parts.check.npos;
    parts.first = first_line(of, parts.fit_is_said, most_levels_named);
    if (!parts.first.empty()) --lines;
    if (parts.lines() <= lines) return parts;
    std::string by_id = hand_out_line(of, true);
    if (lines_taken(by_id, indent_of_lines) < lines_taken(parts.hand_out, indent_of_lines))
        parts.hand_out = std::move(by_id);
    if (parts.lines() <= lines) return parts;
    parts.tightest = tightest_in_brief(*of.planned);
    if (parts.lines() <= lines || parts.check.empty()) return parts;
    parts.hand_out = joined({parts.hand_out, std::exchange(parts.check, "")}, ". ");
    return parts;
}

Answer answer_in_full(const InShort& of) {
    Answer answer{
        of.planned->verdict, first_letter_large(words_of(of.planned->verdict)), who_line(of), {}};
    const std::size_t head = lines_taken(answer.words + ": " + answer.rest, 0);
    const std::size_t room = most_lines_of_group - std::min(most_lines_of_group - 1, head);
    const bool runs = !runs_line(of, 1).empty();
    Parts parts = parts_for(of, room - (runs ? 1 : 0));
    answer.under = parts.needed();
    std::size_t left = room - std::min(room, parts.lines());
    const auto add = [&](std::string line, std::size_t lines) {
        if (line.empty() || lines == 0) return;
        line = fitted_lines({std::move(line)}, lines, {0}, indent_of_lines).front();
        left -= std::min(left, lines_taken(line, indent_of_lines));
        answer.under.push_back(std::move(line));
    };
    const std::size_t for_first = left - std::min<std::size_t>(left, runs ? 1 : 0);
    if (lines_taken(parts.first, indent_of_lines) > for_first)
        parts.first = first_line(of, parts.fit_is_said, 1);
    add(parts.first, for_first);
    std::size_t named = most_runs_named;
    while (named > 1 && lines_taken(runs_line(of, named), indent_of_lines) > left)
        --named;
    add(runs_line(of, named), left);
    return answer;
}

/// What decides, in one line.
std::string margin_in_brief(const InShort& of, const std::string& before) {
    const CriterionResult* tightest = tightest_limit(*of.planned);
    const std::string whole = joined({before, tightest ? margin_first(*tightest) : ""}, ", ");
    const std::size_t taken = width_of(words_of(of.planned->verdict)) + 2;
    if (width_of(whole) + taken <= short_columns || !tightest) return whole;
    return joined({before, margin_text(*tightest)}, ", ");
}

/// In one line, beyond a screen, and what to hand out.
Answer answer_in_brief(const InShort& of) {
    std::string line = hand_out_line(of);
    if (lines_taken(line, indent_of_lines) > 1) line = hand_out_line(of, true);
    return {of.planned->verdict,
            first_letter_large(words_of(of.planned->verdict)),
            margin_in_brief(of, short_people(of.ids, columns_of_people)),
            {std::move(line)}};
}

/// What to hand out to whom, of so many people with one verdict: those who get the same together.
std::vector<std::string> hand_outs_together(const std::vector<const InShort*>& people) {
    constexpr std::size_t most = most_lines_of_group - 2;
    std::vector<std::pair<std::string, std::vector<std::string>>> all;
    for (const InShort* one : people) {
        const std::string line = hand_out_line(*one, true);
        auto same = std::ranges::find(all, line, &decltype(all)::value_type::first);
        if (same == all.end()) same = all.insert(same, {line, {}});
        same->second.insert(same->second.end(), one->ids.begin(), one->ids.end());
    }
    std::vector<std::string> lines;
    std::size_t left = most;
    std::size_t not_said = 0;
    for (const auto& [line, ids] : all) {
        std::string words = fmt::format("{}: {}", names_of_people(ids), line);
        const std::size_t taken = lines_taken(words, indent_of_lines);
        if (taken > left || not_said > 0) {
            not_said += ids.size();
            continue;
        }
        left -= taken;
        lines.push_back(std::move(words));
    }
    if (not_said > 0)
        lines.push_back(
            fmt::format("What to hand out to {} more: {}", not_said, where_the_rest_is()));
    return lines;
}

/// Everyone else with a verdict: how many, who is nearest to a limit, and what to hand out.
void add_together(std::span<const InShort> rest, Verdict verdict, Answers& answers) {
    std::size_t number = 0;
    std::vector<const InShort*> people;
    const InShort* nearest = nullptr;
    for (const InShort& one : rest) {
        if (one.planned->verdict != verdict) continue;
        people.push_back(&one);
        number += one.ids.size();
        const CriterionResult* tightest = tightest_limit(*one.planned);
        if (!tightest || !tightest->margin) continue;
        if (!nearest || is_tighter(*tightest, *tightest_limit(*nearest->planned))) nearest = &one;
    }
    if (number == 0) return;
    std::string words = fmt::format("{} more", number);
    if (nearest)
        words =
            margin_in_brief(*nearest, fmt::format("{}, the nearest {}", words,
                                                  short_people(nearest->ids, columns_of_people)));
    answers.all.push_back({verdict, first_letter_large(words_of(verdict)), std::move(words),
                           hand_outs_together(people)});
}

std::vector<InShort> worst_first(const Assessment& assessment, const HandOuts* outs) {
    std::vector<InShort> all;
    for (const PeopleTogether& group : people_together(assessment.people)) {
        all.push_back({assessment.plan, ids_of_group(assessment.people, group),
                       &assessment.people[group.front()],
                       outs ? &outs->each[group.front()] : nullptr});
    }
    std::ranges::stable_sort(all, std::ranges::greater(),
                             [](const InShort& one) { return one.planned->verdict; });
    return all;
}

}  // namespace

std::string hand_out_sentence(const Plan& plan, const PersonResult& planned, const HandOut* out) {
    return hand_out_line({&plan, {planned.person->id}, &planned, out});
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
