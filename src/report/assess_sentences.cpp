#include <algorithm>

#include <fmt/format.h>

#include "earbudget/choice/candidates.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/words/accepted.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

std::string reason_sentence(std::string_view start, const CriterionResult& result) {
    const std::string margin = result.made_for_others ? "" : margin_text(result);
    const std::string limit = joined({limit_text(result), margin}, ", ");
    return fmt::format("{}{}: {} {}, limit {}", start, result.criterion->id, quantity_text(result),
                       value_text(result), joined({limit, text_of(result.remarks, "; ")}, "; "));
}

/// Of two that are reached: surely before perhaps, then by the higher value.
bool is_graver(const CriterionResult& one, const CriterionResult& other) {
    if (one.by_probability() != other.by_probability())
        return one.by_probability() == Verdict::Over;
    return one.limit > other.limit;
}

/// The action values that are reached, of one kind of exposure the highest alone: what it asks for
/// is more than what the lower ones do.
std::vector<const CriterionResult*> action_values_reached(const PersonResult& person) {
    std::vector<const CriterionResult*> reached;
    for (const CriterionResult& result : person.criteria) {
        if (result.criterion->kind != CriterionKind::ActionValue) continue;
        // Levels that nobody measured make none perhaps reached that lies far above them.
        if (result.by_probability() != Verdict::Over && result.by_probability() != Verdict::Close)
            continue;
        const auto lower = std::ranges::find_if(reached, [&](const CriterionResult* other) {
            return other->quantity() == result.quantity();
        });
        if (lower == reached.end()) {
            reached.push_back(&result);
        } else if (is_graver(result, **lower)) {
            *lower = &result;
        }
    }
    return reached;
}

std::string action_value_sentence(const CriterionResult& result) {
    return fmt::format("{} {}: {} {}, action value {}, outside; {}; no protector lowers it",
                       result.verdict == Verdict::Over ? "above" : "perhaps above",
                       result.criterion->id, quantity_text(result), value_text(result),
                       limit_text(result), text_of(result.criterion->when_above, ", "));
}

std::string default_criteria_text(const PersonResult& person) {
    // One of the plan's own counts beside them.
    const std::string ids =
        joined(person.person->policy.criteria, ", ", [](const Criterion& criterion) {
            return find_published_criterion(criterion.id) ? criterion.id : "";
        });
    return fmt::format("the plan names no criteria: these are those of role {} by default, {}",
                       name_of(person.person->role), ids);
}

/// What is to be known of the peaks beside the verdict.
void add_peak_reasons(const PersonResult& person, std::vector<std::string>& reasons) {
    for (const CriterionResult& result : person.criteria) {
        if (result.by_bound && person.verdict <= Verdict::Close) {
            reasons.push_back(reason_sentence("", result));
        }
    }
    for (const std::string& id : person.not_judged) {
        if (person.verdict == Verdict::Unknown) continue;  // said already
        reasons.push_back(
            fmt::format("not judged: the peak limit of {}, since a peak is not stated", id));
    }
    const Person& who = *person.person;
    const bool any = std::ranges::any_of(who.policy.criteria, [&](const Criterion& criterion) {
        return criterion.is_for(who.role) && criterion.peak;
    });
    if (!any && !person.criteria.empty()) {
        reasons.emplace_back("peaks were not judged: none of the criteria has a limit on them");
    }
}

/// Beside what cannot be decided; whether there are any.
bool add_close_ones(const PersonResult& person, std::vector<std::string>& reasons) {
    if (person.verdict != Verdict::Unknown) return false;
    const std::size_t before = reasons.size();
    for (const CriterionResult& result : person.criteria) {
        if (result.decides && result.verdict == Verdict::Close)
            reasons.push_back(reason_sentence("", result));
    }
    return reasons.size() > before;
}

}  // namespace

std::string margin_first(const CriterionResult& result) {
    if (result.made_for_others) return "no published limit for neonates is known";
    const std::string margin = margin_text(result);
    return fmt::format("{}{}{} ({} {}, limit {})", margin,
                       margin.empty()             ? ""
                       : margin.ends_with("left") ? " to "
                                                  : " ",
                       result.criterion->id, quantity_text(result), value_text(result),
                       limit_text(result));
}

std::string worn_in_tasks(const Plan& plan, const Person& person) {
    std::vector<std::string> worn;
    for (const Task& task : person.tasks) {
        if (task.wears && !task.wears->empty())
            add_once(short_names_of(plan.catalogue, *task.wears), worn);
    }
    return joined(worn, ", ");
}

std::string wears_text(const Plan& plan, const Person& person) {
    const std::string in_tasks = worn_in_tasks(plan, person);
    if (person.wears.empty() && in_tasks.empty()) return "wears nothing";
    if (person.wears.empty()) return fmt::format("wears {} in tasks, else nothing", in_tasks);
    const std::string text =
        "wears " + names_of(plan.catalogue, person.wears) + how_worn(person.wearing);
    return in_tasks.empty() ? text : fmt::format("{}; in tasks {}", text, in_tasks);
}

std::string how_worn(const Wearing& wearing) {
    std::string text = wearing.poor_fit ? ", poorly seated" : "";
    if (wearing.fraction_of_time < 1.0)
        text += fmt::format(", {:.0f} % of the time", 100.0 * wearing.fraction_of_time);
    return text;
}

std::string metal_headline(const Plan& plan, const std::vector<const Person*>& people) {
    const auto words = [&](const PeopleTogether& group) {
        const auto metal = metal_near_magnet(plan, *people[group.front()]);
        if (metal.empty()) return std::string();
        std::vector<std::string> ids;
        for (const std::size_t n : group)
            ids.push_back(people[n]->id);
        return fmt::format("{} (\"{}\")", name_of_group(ids), fmt::join(metal, "\", \""));
    };
    const std::string who = joined(people_together(people), ", ", words);
    return who.empty() ? "" : "METAL AT THE MAGNET: " + who;
}

std::string metal_headline(const Assessment& assessment) {
    std::vector<const Person*> people;
    for (const PersonResult& result : assessment.people)
        people.push_back(result.person);
    return metal_headline(*assessment.plan, people);
}

std::string ids_with(const Assessment& assessment, Verdict verdict) {
    const auto& people = assessment.people;
    return joined(people_together(people), ", ", [&](const PeopleTogether& group) {
        return people[group.front()].verdict == verdict ? name_of_group(ids_of_group(people, group))
                                                        : "";
    });
}

std::string verdict_words(const PersonResult& result) {
    return joined({words_of(result.verdict), action_value_words(result)}, "; ");
}

std::string action_value_words(const PersonResult& result) {
    return joined(action_values_reached(result), "; ", [](const CriterionResult* value) {
        if (value->decides || value->verdict != Verdict::Over) return std::string();
        const auto& asks = value->criterion->when_above;
        return fmt::format("above {}{}: {}", value->criterion->id,
                           value->is_peak ? " by the peak" : "",
                           asks.empty() ? "" : text_of(asks.front()));
    });
}

// Why the person's verdict is what it is: the limits that make it so, or the tightest one.
std::vector<std::string> reasons_of(const PersonResult& person) {
    std::vector<std::string> reasons;
    for (const CriterionResult& result : person.criteria) {
        if (!result.decides || person.verdict == Verdict::Within) continue;
        if (result.verdict == person.verdict) reasons.push_back(reason_sentence("", result));
    }
    // What a bound leaves is told by itself.
    const CriterionResult* tightest = tightest_limit(person);
    if (person.verdict == Verdict::Within && tightest && tightest->margin && !tightest->by_bound)
        reasons.push_back(reason_sentence("tightest is ", *tightest));
    const bool close = person.verdict == Verdict::Close || add_close_ones(person, reasons);
    const bool by_probability = std::ranges::any_of(person.criteria, [](const auto& result) {
        return result.decides && result.by_probability() == Verdict::Close;
    });
    if (close && by_probability) {
        reasons.push_back(fmt::format(
            "close: the best estimate is within, the probability of being over is above {}",
            percent_of_accepted(person.person->policy)));
    }
    for (const CriterionResult* value : action_values_reached(person)) {
        if (!value->decides) reasons.push_back(action_value_sentence(*value));
    }
    reasons.push_back(examples_words(person.examples));
    if (person.person->policy.criteria_by_default) {
        reasons.push_back(default_criteria_text(person));
    }
    if (lacks_limit_of_age(*person.person))
        reasons.push_back(text_of(say<WarningPhrase::NoLimitForNeonates>()));
    if (person.criteria.empty()) {
        reasons.emplace_back("none of the plan's criteria is for this role: name one that is");
    }
    add_peak_reasons(person, reasons);
    return reasons;
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
        sentences.push_back(fmt::format("{}: {}, {}", criterion->id, criterion->title,
                                        criterion_words(*criterion)));
    }
    return sentences;
}

}  // namespace earbudget::report
