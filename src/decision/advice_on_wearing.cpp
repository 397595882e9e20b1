#include "decision/advice_on_wearing.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/decision/advise.hpp"
#include "earbudget/decision/candidates.hpp"
#include "earbudget/decision/judge.hpp"

namespace earbudget {

void advise_better_wearing(const Plan& plan, const PersonResult& result,
                           std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (person.wears.empty()) return;
    const auto would_be_within = [&](const Wearing& wearing) {
        return !is_over_any(person, hear(plan, person, person.wears, wearing));
    };
    if (person.wearing.poor_fit &&
        would_be_within({person.wearing.fraction_of_time, /*poor_fit=*/false})) {
        advice.push_back({.code = "fit-check",
                          .text = "Seated well, the same protection is within every limit: take it "
                                  "out, seat it again and check both ears before the first run.",
                          .wears = person.wears});
    }
    if (person.wearing.fraction_of_time < 1.0 && would_be_within({1.0, person.wearing.poor_fit})) {
        advice.push_back({.code = "wear-throughout",
                          .text = fmt::format("Worn all the time instead of {:.0f} % of it, the "
                                              "same protection is within every limit.",
                                              100.0 * person.wearing.fraction_of_time),
                          .wears = person.wears});
    }
}

void advise_fit_check(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (person.wears.empty() || person.wearing.poor_fit) return;
    const Wearing poor{.fraction_of_time = person.wearing.fraction_of_time, .poor_fit = true};
    if (!is_over_any(person, hear(plan, person, person.wears, poor))) return;
    advice.push_back(
        {.code = "fit-check",
         .text = fmt::format(
             "The verdict hangs on the fit: with {:.0f} dB, as poorly seated protectors give, {} "
             "is "
             "over a limit. Check both ears before the first run: roll a plug thin, pull the ear "
             "up and back, hold the plug in until it has expanded; seat a muff on bare skin. Ask "
             "whether the pump became clearly quieter; if not, seat it again.",
             poor_fit_reduction.dB(), person.id)});
}

void advise_less_protection(const HearingDay& day, const PersonResult& result,
                            std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (!person.policy.speech_must_be_heard || person.wears.empty()) return;
    const auto level = level_while_scanning(day);
    if (!level || *level >= least_useful_level_at_ear) return;
    advice.push_back(
        {.code = "too-much-protection",
         .text = fmt::format("{:.1f} dB(A) at the ear while sequences run is below {:.0f} dB(A): "
                             "spoken instructions may not be heard, though the plan says they must "
                             "be. Agree on a sign, or take a protector with less attenuation.",
                             level->dB(), least_useful_level_at_ear.dB())});
}

}  // namespace earbudget
