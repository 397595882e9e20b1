#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/cautions.hpp"
#include "report/choose_report.hpp"

namespace earbudget::report {

namespace {

std::string names_of(const Plan& plan, const std::vector<std::string>& wears) {
    std::string names;
    for (const std::string& id : wears) {
        names += names.empty() ? "" : " under ";
        names += fmt::format("{} ({})", plan.catalogue.find(id)->protector.title, id);
    }
    return names;
}

std::string answer(const Plan& plan, const PersonChoice& choice) {
    const Verdict without = choice.unprotected.verdict;
    if (without == Verdict::Within && choice.person->role != Role::Participant) {
        return fmt::format("{}: none needed, every limit is kept without", choice.person->id);
    }
    if (without == Verdict::Unknown) {
        return fmt::format("{}: cannot be decided", choice.person->id);
    }
    if (!choice.has_answer() && without != Verdict::Over) {
        return fmt::format("{}: nothing in the catalogue to choose; {} without", choice.person->id,
                           words_of(without));
    }
    if (choice.has_answer()) {
        return fmt::format("{}: {}", choice.person->id,
                           names_of(plan, choice.ranking.front().wears));
    }
    return fmt::format("{}: nothing in the catalogue keeps every exposure limit",
                       choice.person->id);
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

std::string required_lines(const RequiredReduction& required) {
    const auto text = [](const std::optional<LevelDifference>& level) {
        return level ? fmt::format("{:.1f} dB", level->dB()) : std::string("not to be told");
    };
    return wrapped(
        fmt::format("needed: {} less at the ear; as SNR {}, as NRR {}, or {} of assumed protection "
                    "in every octave band",
                    text(required.at_ear), text(required.SNR), text(required.NRR),
                    text(required.every_band)),
        2, 4);
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
    std::string text = wrapped(
        fmt::format("{}. {}: {}, {} while sequences run, LEX,8h {} at the ear", place,
                    names_of(plan, choice.wears), words_of(choice.verdict),
                    level_with_unit(choice.while_scanning), level_with_unit(choice.at_ear_LEX_8h)),
        2, 5);
    if (!choice.reason.empty()) text += wrapped("- behind the one above: " + choice.reason, 5, 7);
    for (const std::string& note : choice.notes)
        text += wrapped("- " + note, 5, 7);
    return text + spread_line(choice);
}

}  // namespace

std::string choose_text(const Plan& plan, const std::vector<PersonChoice>& choices,
                        const SourceFile& plan_file, const TextStyle& style) {
    std::string text;
    for (const PersonChoice& choice : choices)
        text += answer(plan, choice) +
                (choice.peak == Verdict::Over ? "; but a peak is above its limit\n" : "\n");
    text += fmt::format("\n{}\n{}, SHA-256 {}…\n", style.strong(plan.title), plan_file.path,
                        plan_file.sha256.substr(0, 16));
    for (const PersonChoice& choice : choices) {
        text += fmt::format("\n{}\n", style.strong(choice.person->id));
        text += peak_line(choice);
        text += unprotected_line(choice.unprotected);
        if (choice.required) text += required_lines(*choice.required);
        for (std::size_t n = 0; n < choice.ranking.size(); ++n)
            text += ranked_lines(plan, choice.ranking[n], n + 1);
        for (const NotPermitted& refused : choice.not_permitted) {
            text += wrapped(
                fmt::format("not permitted: {}: {}", names_of(plan, refused.wears), refused.why), 2,
                4);
        }
    }
    text += "\nCautions\n";
    for (const std::string_view caution : cautions)
        text += wrapped(caution, 2, 4);
    return text;
}

}  // namespace earbudget::report
