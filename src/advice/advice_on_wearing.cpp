#include <cmath>
#include <set>

#include "advice/advice_on.hpp"
#include "earbudget/advice/advise.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

namespace {

/// How to seat each kind of what is worn, each once.
std::vector<Message> fit_of(const Plan& plan, const Person& person) {
    std::vector<std::string> ids = in_order(plan.catalogue, person.wears);
    for (const Task& task : person.tasks) {
        if (!task.wears) continue;
        for (std::string& id : in_order(plan.catalogue, *task.wears))
            ids.push_back(std::move(id));
    }
    std::vector<Message> all;
    std::set<ProtectorType> said;
    for (const std::string& id : ids) {
        ProtectorType type = plan.catalogue.find(id)->protector.type;
        if (type == ProtectorType::CustomPlug)
            type = ProtectorType::PremouldedPlug;  // seated alike
        if (said.insert(type).second) all.push_back(say<AdvicePhrase::HowToSeat>(type));
    }
    return all;
}

void advise_on_intercom(const IntercomAtEar& intercom, bool unprotected,
                        std::vector<Advice>& advice) {
    if (intercom.speech < faintest_speech && !unprotected) {
        advice.push_back(
            {.code = AdviceCode::TooMuchProtection,
             .says = {say<AdvicePhrase::SpeechMissed>(intercom.speech, faintest_speech)}});
    }
    const auto above = intercom.above_residual();
    if (above && *above < understood_from) {
        advice.push_back({.code = AdviceCode::RaiseIntercom,
                          .says = {say<AdvicePhrase::RaiseIntercom>(
                              std::abs(above->dB()), above->dB() < 0.0, understood_from,
                              understood_from - *above)}});
    }
}

}  // namespace

void advise_against_metal(const Plan& plan, const Person& person, std::vector<Advice>& advice) {
    for (const std::string& id : metal_near_magnet(plan, person)) {
        advice.push_back(
            {.code = AdviceCode::MetalOutside, .says = {say<AdvicePhrase::MetalOutside>(id)}});
    }
}

void advise_better_wearing(const Plan& plan, const PersonResult& result,
                           std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (person.wears.empty()) return;
    if (person.wearing.poor_fit) {
        advice.push_back({.code = AdviceCode::FitCheck,
                          .says = {say<AdvicePhrase::DoesNotSeatAnother>(
                              person.wears, person.wears.size() == 1)}});
        return;
    }
    const ExposureDay throughout = day_exposure(plan, person, person.wears, Wearing{});
    if (person.wearing.fraction_of_time < 1.0 && !is_over_any(person, throughout) &&
        worst_peak_verdict(plan, person, throughout, PeakPlace::AtEar) != Verdict::Over) {
        Person always = person;
        always.wearing.fraction_of_time = 1.0;
        const bool unsure = perhaps_over(plan, always, throughout);
        advice.push_back(
            {.code = AdviceCode::WearThroughout,
             .says = {say<AdvicePhrase::WearThroughout>(
                 100.0 * person.wearing.fraction_of_time,
                 unsure ? say<AdvicePhrase::PerhapsOver>(accepted_percent(person)) : Message())},
             .wears = person.wears});
    }
}

void advise_fit_check(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (!wears_anything(person) || person.wearing.poor_fit) return;
    const Person seated_poorly = poorly_seated(person);
    const ExposureDay day = day_exposure(plan, seated_poorly);
    const auto peak = worst_peak_verdict(plan, seated_poorly, day, PeakPlace::AtEar);
    if (!is_over_any(person, day) && peak != Verdict::Over) return;
    advice.push_back(
        {.code = AdviceCode::FitCheck,
         .says = {say<AdvicePhrase::FitDecides>(poor_fit_reduction, fit_of(plan, person))}});
}

void advise_on_speech(const ExposureDay& day, const PersonResult& result,
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
         .says = {say<AdvicePhrase::SpeechNotHeard>(*level, person.policy.least_useful)}});
}

}  // namespace earbudget
