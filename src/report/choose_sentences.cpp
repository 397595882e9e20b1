#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/words/accepted.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

constexpr std::string_view by_what_nobody_measured = " (close, by levels that nobody measured)";

bool has_close_peak(const PersonChoice& choice) {
    return std::ranges::any_of(choice.peaks_outside, [](const CriterionResult& peak) {
        return peak.by_probability() == Verdict::Close;
    });
}

std::string close_words(const PersonChoice& choice, const RankedChoice& best) {
    if (std::max(best.verdict, choice.peak.value_or(best.verdict)) != Verdict::Close) return "";
    const bool by_origin = best.by_probability() == Verdict::Within && !has_close_peak(choice);
    return std::string(by_origin ? by_what_nobody_measured : " (close to a limit)");
}

std::string condition(const RankedChoice& choice) {
    return choice.stated_metal_free ? "" : ", once it is known to be free of metal";
}

std::string difference_words(const std::optional<LevelDifference>& level) {
    return level ? decimal_text(level->dB(), 1) + " dB" : std::string("not to be told");
}

std::string label_terms(const Policy& policy) {
    const auto kind = policy.rules.derating.kind;
    if (kind == Derating::Kind::None) return "with no derating";
    return kind == Derating::Kind::Own
               ? fmt::format("less {:.1f} dB", policy.rules.derating.own.dB())
               : fmt::format("with derating {} where it is defined", name_of(kind));
}

/// Why those that would keep the limits are no answer; empty without any.
std::string would_keep_words(const PersonChoice& choice) {
    std::size_t number = 0;
    bool coil = false, comfort = false;
    for (const RankedChoice& ranked : choice.ranking) {
        if (ranked.verdict > Verdict::Close) continue;
        ++number;
        coil = coil || !ranked.fits_head_coil;
        comfort = comfort || (ranked.fits_head_coil && !ranked.comfortable);
    }
    if (number == 0) return "";
    return fmt::format(
        "; {} would, but {}", number,
        joined({coil ? "none is known to fit the head coil" : "",
                comfort ? "none is what the person agrees to and has ear canals for" : ""},
               " or "));
}

}  // namespace

std::string headline(const Plan& plan, const std::vector<PersonChoice>& choices) {
    std::vector<const Person*> people;
    for (const PersonChoice& choice : choices)
        people.push_back(choice.person);
    const std::string undecided =
        joined(people_together(choices), ", ", [&](const PeopleTogether& group) {
            return choices[group.front()].verdict() == Verdict::Unknown
                       ? name_of_group(ids_of_group(choices, group))
                       : "";
        });
    return joined(
        {metal_headline(plan, people),
         undecided.empty() ? ""
                           : first_letter_large(words_of(Verdict::Unknown)) + ": " + undecided},
        "; ");
}

std::string answer_words(const Plan& plan, const PersonChoice& choice) {
    const Verdict without = choice.unprotected.verdict;
    if (lacks_limit_of_age(*choice.person))
        return "cannot be decided: no published limit for neonates is known";
    if (without == Verdict::Unknown && !choice.has_answer()) return "cannot be decided";
    if (choice.needs_none()) {
        const std::string in_tasks = worn_in_tasks(plan, *choice.person);
        if (!in_tasks.empty())
            return fmt::format("none needed besides what tasks state ({})", in_tasks) +
                   (choice.unprotected.limited_by_origin ? std::string(by_what_nobody_measured)
                                                         : "");
        return choice.unprotected.limited_by_origin
                   ? "none needed: close with nothing worn, no better since nobody measured the levels"
                   : "none needed, every exposure limit is kept with nothing worn";
    }
    if (const RankedChoice* best = choice.answer()) {
        return names_of(plan.catalogue, best->wears) + condition(*best) +
               close_words(choice, *best);
    }
    if (without != Verdict::Over) {
        return fmt::format("nothing in the catalogue to choose; {} with nothing worn", words_of(without));
    }
    const auto unknown =
        std::ranges::count(choice.ranking, Verdict::Unknown, &RankedChoice::verdict);
    return fmt::format("nothing in the catalogue that can be worn keeps every exposure limit{}{}",
                       would_keep_words(choice),
                       unknown > 0 ? fmt::format("; {} cannot be decided", unknown) : "");
}

namespace {

/// What the ranking has before what the plan says; empty where that is the first.
std::string before_planned(const Plan& plan, const PersonChoice& choice, WornIds planned) {
    const RankedChoice* first = choice.answer();
    if (!first || are_same_set(first->wears, planned)) return "";
    const auto same = std::ranges::find_if(choice.ranking, [&](const RankedChoice& ranked) {
        return are_same_set(ranked.wears, planned);
    });
    const RankedChoice& own = same == choice.ranking.end() ? choice.unprotected : *same;
    const std::string name = short_names_of(plan.catalogue, first->wears);
    if (!first->margin_by_wearing || !own.margin_by_wearing || own.wears.empty() != planned.empty())
        return "; the ranking has " + name + " first";
    const double more = (*first->margin_by_wearing - *own.margin_by_wearing).dB();
    return more >= 0.05 ? fmt::format("; {} would leave {:.1f} dB more", name, more)
                        : fmt::format("; the ranking has {} first", name);
}

std::string as_planned_words(const Plan& plan, const PersonChoice& choice,
                             const PersonResult& planned) {
    const Person& person = *planned.person;
    if (planned.verdict >= Verdict::Unknown)
        return fmt::format(
            "do not start; in the plan {}: {}",
            person.wears.empty() ? "nothing" : names_of(plan.catalogue, person.wears),
            words_of(planned.verdict));
    if (person.wears.empty()) {
        if (choice.needs_none() || !choice.answer()) return answer_words(plan, choice);
        return fmt::format("nothing, as planned: {}", words_of(planned.verdict)) +
               before_planned(plan, choice, person.wears);
    }
    const std::string what =
        fmt::format("{}{}, as planned: {}", names_of(plan.catalogue, person.wears),
                    how_worn(person.wearing), words_of(planned.verdict));
    const std::string by_origin =
        planned.is_limited_by_origin() ? std::string(by_what_nobody_measured) : "";
    if (choice.needs_none())
        return what + by_origin + "; none is needed, every exposure limit is kept without";
    return what + by_origin + before_planned(plan, choice, person.wears);
}

}  // namespace

Answer answer_of(const Plan& plan, const PersonChoice& choice, const PersonResult& planned,
                 const HandOut& out) {
    const std::string peak = peak_beside_answer(choice);
    if (lacks_limit_of_age(*choice.person))
        return {choice.verdict(), "", answer_words(plan, choice) + peak};
    if (out.kind == HandOut::Kind::AsPlanned)
        return {planned.verdict, "", as_planned_words(plan, choice, planned) + peak};
    const WornIds own = choice.person->wears;
    std::string words = answer_words(plan, choice);
    if (out.kind != HandOut::Kind::Instead || own.empty())
        return {choice.verdict(), "", words + peak};
    words += are_same_set(own, out.wears)
                 ? std::string(", well seated and all the time")
                 : ", instead of the plan's " + short_names_of(plan.catalogue, own);
    return {choice.verdict(), "", words + peak};
}

std::string peak_beside_answer(const PersonChoice& choice) {
    if (choice.peak == Verdict::Over) return "; but a peak is above its limit";
    // Of a neonate nothing is decided.
    if (choice.peak == Verdict::Unknown && !lacks_limit_of_age(*choice.person))
        return "; but whether a peak limit is kept cannot be decided";
    return "";
}

std::string peak_sentence(const PersonChoice& choice) {
    std::string_view words;
    if (choice.peak == Verdict::Over) words = "a peak outside is above its limit";
    if (choice.peak == Verdict::Close)
        words = has_close_peak(choice) ? "a peak outside is close to its limit"
                                       : "a peak outside was measured by nobody";
    if (choice.peak == Verdict::Unknown)
        words = "whether the peak limits are kept cannot be decided";
    if (words.empty()) return "";
    const auto which = [&](const CriterionResult& peak) {
        return peak.verdict == choice.peak
                   ? fmt::format("{}: peak {}, limit {}", peak.criterion->id, value_text(peak),
                                 limit_text(peak))
                   : std::string();
    };
    return fmt::format("{}, whatever is worn; {}", words,
                       joined(choice.peaks_outside, "; ", which));
}

std::string verdict_by_all_words(const RankedChoice& choice) {
    const bool whatever = choice.verdict_by_all > choice.verdict;
    return words_of(choice.verdict_by_all) + (whatever ? ", whatever is worn" : "");
}

std::string terms_sentence(const Person& person) {
    return fmt::format(
        "method {}, {}, {:g} % of people protected; each as well seated and worn all "
        "the time",
        person.policy.rules.method ? name_of(*person.policy.rules.method) : "best",
        label_terms(person.policy), person.policy.rules.performance.percent());
}

std::vector<std::string> required_sentences(const Policy& policy,
                                            const RequiredReduction& required) {
    std::string text = fmt::format("needed: {} less at the ear", difference_words(required.at_ear));
    if (required.confident_at_ear) {
        text += fmt::format(" ({} to keep {})", difference_words(required.confident_at_ear),
                            words_of_accepted(policy));
    }
    if (required.peak_at_ear) {
        text += fmt::format("; {} less of the C-weighted peak, as M − Ks or L − Ks − 5 dB",
                            difference_words(required.peak_at_ear));
    }
    const auto words = [](std::string_view name, const std::optional<LevelDifference>& level) {
        return level ? fmt::format("{} {}", name, difference_words(level)) : std::string();
    };
    const auto labels = [&](const auto& SNR, const auto& NRR, const auto& every_band) {
        return joined(
            {words("SNR", SNR), words("NRR", NRR), words("every octave band", every_band)}, ", ");
    };
    const std::string all = labels(required.SNR, required.NRR, required.every_band);
    if (!all.empty()) text += fmt::format("; as a label at 84 %, {}: {}", label_terms(policy), all);
    std::vector<std::string> sentences{std::move(text)};
    const std::optional<LevelDifference> said_above;
    for (const RequiredByType& type : required.by_type) {
        const std::string own =
            labels(required.SNR ? said_above : type.SNR, required.NRR ? said_above : type.NRR,
                   required.every_band ? said_above : type.every_band);
        if (!own.empty())
            sentences.push_back(fmt::format("as a label of a {}, {}: {}", name_of(type.type),
                                            label_terms(policy), own));
    }
    return sentences;
}

std::string unprotected_sentence(const PersonChoice& choice) {
    const RankedChoice& without = choice.unprotected;
    return fmt::format("nothing worn: {}, {} while sequences run, LEX,8h {}{}",
                       verdict_by_all_words(without), level_with_unit(without.while_scanning),
                       level_with_unit(without.at_ear_LEX_8h),
                       without.notes.empty() ? "" : "; " + text_of(without.notes.front()));
}

std::string spread_sentence(const Policy& policy, const RankedChoice& choice) {
    const MethodSpread spread = spread_of(choice.methods);
    if (!spread.lowest || !spread.highest || choice.methods.size() < 2) return "";
    const auto& asked = policy.rules.method;
    std::string used;
    if (choice.method && choice.method == asked) {
        used = fmt::format("; the policy's is {}", name_of(*asked));
    } else if (choice.method) {
        used = fmt::format("; used here is {}, {}", name_of(*choice.method),
                           asked ? fmt::format("in the place of the policy's {}", name_of(*asked))
                                 : "the best that the data allow");
    }
    return fmt::format("by every method that the data allow LEX,8h {:.1f} to {:.1f} dB(A){}",
                       spread.lowest->dB(), spread.highest->dB(), used);
}

std::vector<std::string> not_permitted_sentences(const Plan& plan, const PersonChoice& choice) {
    std::vector<std::string> sentences;
    for (const NotPermitted& refused : choice.not_permitted) {
        if (refused.wears.size() > 1) continue;
        sentences.push_back(fmt::format("not permitted, alone or under or over another: {}: {}",
                                        names_of(plan.catalogue, refused.wears),
                                        text_of(refused.why)));
    }
    return sentences;
}

}  // namespace earbudget::report
