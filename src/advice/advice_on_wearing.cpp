#include "advice/advice_on_wearing.hpp"

#include <cmath>
#include <set>
#include <string_view>

#include <fmt/format.h>

#include "earbudget/advice/advise.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/day/accepted_words.hpp"
#include "earbudget/day/seating.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/uncertainty/drawn_day.hpp"

namespace earbudget {

namespace {

/// How to seat each kind of what is worn, each once.
std::string seating_of(const Plan& plan, const Person& person) {
    std::vector<std::string> ids = person.wears;
    for (const Task& task : person.tasks) {
        if (task.wears) ids.insert(ids.end(), task.wears->begin(), task.wears->end());
    }
    std::set<std::string_view> said;
    std::string text;
    for (const std::string& id : ids) {
        const auto seating = how_to_seat(plan.catalogue.find(id)->protector.type);
        if (!said.insert(seating).second) continue;
        text += fmt::format("{}{}", text.empty() ? "" : "; ", seating);
    }
    return text;
}

void advise_on_intercom(const IntercomAtEar& intercom, bool unprotected,
                        std::vector<Advice>& advice) {
    if (intercom.speech < faintest_speech && !unprotected) {
        advice.push_back(
            {.code = AdviceCode::TooMuchProtection,
             .text = fmt::format("Speech over the intercom reaches the ear with {:.1f} dB(A) and "
                                 "is easily missed below {:.0f} dB(A): turn the intercom up, agree "
                                 "on a sign, or take a protector with less attenuation.",
                                 intercom.speech.dB(), faintest_speech.dB())});
    }
    const auto above = intercom.above_residual();
    if (above && *above < understood_from) {
        advice.push_back(
            {.code = AdviceCode::RaiseIntercom,
             .text = fmt::format("Speech over the intercom stands {:.1f} dB {} the noise that is "
                                 "left between runs; instructions are understood from about {:.0f} "
                                 "dB above it (common practice, no source): turn the intercom up "
                                 "by {:.1f} dB or agree on a sign.",
                                 std::abs(above->dB()), above->dB() < 0.0 ? "below" : "above",
                                 understood_from.dB(), (understood_from - *above).dB())});
    }
}

}  // namespace

void advise_against_metal(const Plan& plan, const Person& person, std::vector<Advice>& advice) {
    for (const std::string& id : metal_near_magnet(plan, person)) {
        advice.push_back({.code = AdviceCode::MetalOutside,
                          .text = fmt::format("\"{}\" is not free of metal: it must not come near "
                                              "the magnet. Take another.",
                                              id)});
    }
}

void advise_better_wearing(const Plan& plan, const PersonResult& result,
                           std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (person.wears.empty()) return;
    if (person.wearing.poor_fit) {
        advice.push_back(
            {.code = AdviceCode::FitCheck,
             .text = fmt::format(
                 "\"{}\" {} not seat (fit = \"poor\") and {} not offered again: take "
                 "another, and check both ears before the first run.",
                 fmt::join(person.wears, "\" with \""), person.wears.size() == 1 ? "does" : "do",
                 person.wears.size() == 1 ? "is" : "are")});
        return;
    }
    const HearingDay throughout = hear(plan, person, person.wears, Wearing{});
    if (person.wearing.fraction_of_time < 1.0 && !is_over_any(person, throughout) &&
        worst_peak_verdict(plan, person, throughout, PeakPlace::AtEar) != Verdict::Over) {
        Person always = person;
        always.wearing.fraction_of_time = 1.0;
        const bool unsure = perhaps_over(plan, always, throughout);
        advice.push_back(
            {.code = AdviceCode::WearThroughout,
             .text = fmt::format("Worn all the time instead of {:.0f} % of it, the same protection "
                                 "keeps every exposure limit{}.",
                                 100.0 * person.wearing.fraction_of_time,
                                 unsure ? fmt::format(", though with a probability of being over "
                                                      "above {}",
                                                      percent_of_accepted(person.policy))
                                        : std::string()),
             .wears = person.wears});
    }
}

void advise_fit_check(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (!wears_anything(person) || person.wearing.poor_fit) return;
    const Person seated_poorly = poorly_seated(person);
    const HearingDay day = hear(plan, seated_poorly);
    const auto peak = worst_peak_verdict(plan, seated_poorly, day, PeakPlace::AtEar);
    if (!is_over_any(person, day) && peak != Verdict::Over) return;
    advice.push_back({.code = AdviceCode::FitCheck,
                      .text = fmt::format(
                          "The verdict hangs on the fit: with {:.0f} dB, as poorly seated "
                          "protectors give, a limit is exceeded. Before the first run check both "
                          "ears: {}. Ask whether the scanner's pump, the steady beat in the "
                          "room, became clearly quieter; if not, seat it again.",
                          poor_fit_reduction.dB(), seating_of(plan, person))});
}

void advise_on_speech(const HearingDay& day, const PersonResult& result,
                      std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (const auto& intercom = result.intercom) {
        advise_on_intercom(*intercom, person.wears.empty(), advice);
        return;
    }
    if (person.wears.empty()) return;
    const auto level = level_while_scanning(day);
    if (!person.policy.speech_must_be_heard || !level || *level >= person.policy.least_useful) {
        return;
    }
    advice.push_back(
        {.code = AdviceCode::TooMuchProtection,
         .text = fmt::format("{:.1f} dB(A) at the ear while sequences run is below {:.0f} dB(A): "
                             "spoken instructions may not be heard, though the plan says they must "
                             "be. Agree on a sign, or take a protector with less attenuation.",
                             level->dB(), person.policy.least_useful.dB())});
}

}  // namespace earbudget
