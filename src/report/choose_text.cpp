#include <algorithm>

#include <fmt/format.h>

#include "earbudget/decision/accepted_words.hpp"
#include "report/assess_words.hpp"
#include "report/cautions.hpp"
#include "report/choose_report.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

std::string condition(const RankedChoice& choice) {
    return choice.stated_metal_free ? "" : ", once it is known to be free of metal";
}

std::string answer(const Plan& plan, const PersonChoice& choice) {
    const Verdict without = choice.unprotected.verdict;
    if (without == Verdict::Unknown) return "cannot be decided";
    if (without == Verdict::Within && choice.person->role != Role::Participant) {
        return "none needed, every exposure limit is kept without";
    }
    if (const RankedChoice* best = choice.answer()) {
        return names_of(plan.catalogue, best->wears) + condition(*best) +
               (best->verdict == Verdict::Close ? " (close to a limit)" : "");
    }
    if (without != Verdict::Over) {
        return fmt::format("nothing in the catalogue to choose; {} without", words_of(without));
    }
    const auto unknown =
        std::ranges::count(choice.ranking, Verdict::Unknown, &RankedChoice::verdict);
    return fmt::format("nothing in the catalogue that can be worn keeps every exposure limit{}",
                       unknown > 0 ? fmt::format("; {} cannot be decided", unknown) : "");
}

// What nothing in the catalogue changes.
std::string peak_line(const PersonChoice& choice) {
    if (choice.peak == Verdict::Over) {
        return wrapped("a peak outside is above its limit, whatever is worn", 2, 4);
    }
    if (choice.peak == Verdict::Unknown) {
        return wrapped("whether the peak limits are kept cannot be decided, whatever is worn", 2,
                       4);
    }
    return "";
}

std::string decibels(const std::optional<LevelDifference>& level) {
    return level ? fmt::format("{:.1f} dB", level->dB()) : std::string("not to be told");
}

std::string derating_words(const Policy& policy) {
    const auto kind = policy.rules.derating.kind;
    if (kind == Derating::Kind::None) return "with no derating";
    return kind == Derating::Kind::Own
               ? fmt::format("less {:.1f} dB", policy.rules.derating.own.dB())
               : fmt::format("with derating {} where it is defined", name_of(kind));
}

std::string required_lines(const Policy& policy, const RequiredReduction& required) {
    std::string text = fmt::format("needed: {} less at the ear", decibels(required.at_ear));
    if (required.confident_at_ear) {
        text += fmt::format(" ({} to keep {})", decibels(required.confident_at_ear),
                            words_of_accepted(policy));
    }
    std::string ratings;
    const auto add = [&ratings](std::string_view name,
                                const std::optional<LevelDifference>& level) {
        if (level)
            ratings += fmt::format("{}{} {}", ratings.empty() ? "" : ", ", name, decibels(level));
    };
    add("SNR", required.SNR);
    add("NRR", required.NRR);
    add("every octave band", required.every_band);
    if (!ratings.empty()) {
        text += fmt::format("; as a label at 84 %, {}: {}", derating_words(policy), ratings);
    }
    text = wrapped(text, 2, 4);
    for (const RequiredByType& type : required.by_type) {
        ratings.clear();
        if (!required.SNR) add("SNR", type.SNR);
        if (!required.NRR) add("NRR", type.NRR);
        if (!required.every_band) add("every octave band", type.every_band);
        if (ratings.empty()) continue;
        text += wrapped(fmt::format("as a label of a {}, {}: {}", name_of(type.type),
                                    derating_words(policy), ratings),
                        4, 6);
    }
    return text;
}

std::string unprotected_line(const RankedChoice& without) {
    return wrapped(
        fmt::format("without: {}, {} while sequences run, LEX,8h {}{}", words_of(without.verdict),
                    level_with_unit(without.while_scanning), level_with_unit(without.at_ear_LEX_8h),
                    without.notes.empty() ? "" : "; " + without.notes.front()),
        2, 4);
}

std::string spread_line(const RankedChoice& choice) {
    const MethodSpread spread = spread_of(choice.methods);
    if (!spread.lowest || !spread.highest || choice.methods.size() < 2) return "";
    return wrapped(
        fmt::format("- by every method that the data allow LEX,8h {:.1f} to {:.1f} dB(A){}",
                    spread.lowest->dB(), spread.highest->dB(),
                    choice.method ? fmt::format("; the policy's is {}", name_of(*choice.method))
                                  : std::string()),
        5, 7);
}

std::string ranked_lines(const Plan& plan, const RankedChoice& choice, std::size_t place) {
    std::string head = fmt::format("{}. {}: {}", place, names_of(plan.catalogue, choice.wears),
                                   words_of(choice.verdict));
    if (choice.at_ear_LEX_8h) {
        head += fmt::format(", by {} {} at the ear while sequences run, LEX,8h {}",
                            choice.method ? name_of(*choice.method) : "no method",
                            level_with_unit(choice.while_scanning),
                            level_with_unit(choice.at_ear_LEX_8h));
    }
    std::string text = wrapped(head, 2, 5);
    if (!choice.reason.empty()) text += wrapped("- behind the one above: " + choice.reason, 5, 7);
    for (const std::string& note : choice.notes)
        text += wrapped("- " + note, 5, 7);
    return text + spread_line(choice);
}

/// Each reason once, with what it keeps away; a pair goes with the one of it that may not be worn.
std::string not_permitted_lines(const Plan& plan, const PersonChoice& choice) {
    std::string text;
    for (const NotPermitted& refused : choice.not_permitted) {
        if (refused.wears.size() > 1) continue;
        text += wrapped(fmt::format("not permitted, alone or under or over another: {}: {}",
                                    names_of(plan.catalogue, refused.wears), refused.why),
                        2, 4);
    }
    return text;
}

std::string person_block(const Plan& plan, const PersonChoice& choice, const TextStyle& style,
                         bool with_working) {
    const Person& person = *choice.person;
    std::string text = fmt::format("\n{}\n", style.strong(person.id));
    text += wrapped(
        fmt::format("method {}, {}, {:g} % of people protected; each as well seated and "
                    "worn all the time",
                    person.policy.rules.method ? name_of(*person.policy.rules.method) : "best",
                    derating_words(person.policy), person.policy.rules.performance.percent()),
        2, 4);
    text += peak_line(choice);
    for (const std::string& note : choice.notes)
        text += wrapped("- " + note, 2, 4);
    const auto working = [&](const RankedChoice& ranked) {
        return with_working ? working_text(working_of(plan, person, ranked)) : std::string();
    };
    text += unprotected_line(choice.unprotected) + working(choice.unprotected);
    if (choice.required) {
        text += required_lines(person.policy, *choice.required);
        if (with_working) {
            text += working_text(working_of(person, *choice.required, choice.unprotected));
        }
    }
    for (std::size_t n = 0; n < choice.ranking.size(); ++n)
        text += ranked_lines(plan, choice.ranking[n], n + 1) + working(choice.ranking[n]);
    return text + not_permitted_lines(plan, choice);
}

}  // namespace

std::string choose_text(const Plan& plan, const std::vector<PersonChoice>& choices,
                        const Record& record, const TextStyle& style) {
    const SourceFile& plan_file = record.inputs.front();
    std::string text;
    for (const PersonChoice& choice : choices) {
        text += fmt::format("{}: {}{}\n", choice.person->id, answer(plan, choice),
                            choice.peak == Verdict::Over ? "; but a peak is above its limit" : "");
    }
    text += fmt::format("\n{}\n{}, SHA-256 {}…\n", style.strong(plan.title), plan_file.path,
                        plan_file.sha256.substr(0, 16));
    for (const PersonChoice& choice : choices)
        text += person_block(plan, choice, style, record.with_working);
    text += record_text(record, rules_of(choices));
    text += "\nCautions\n";
    for (const std::string_view caution : cautions)
        text += wrapped(caution, 2, 4);
    return text;
}

}  // namespace earbudget::report
