#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include "choice/notes.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/phrases.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/day/ear_band.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/unmeasured.hpp"

namespace earbudget {

namespace {

constexpr std::array said_otherwise = {
    WarningPhrase::MetalInBore,   WarningPhrase::MetalNearMagnet,
    WarningPhrase::MetalUnstated, WarningPhrase::DoesNotFitHeadCoil,
    WarningPhrase::NotWhatFits,   WarningPhrase::IntercomByAverage};

void note_usefulness(const Person& person, bool close_at_best, RankedChoice& choice) {
    if (choice.wears.empty() || !choice.while_scanning) return;
    const LevelA level = *choice.while_scanning;
    if (level < person.policy.least_useful) {
        choice.more_than_useful = true;
        choice.notes.push_back(
            say<ChoicePhrase::MoreThanUseful>(level, person.policy.least_useful));
    } else if (person.role == Role::Participant && ear_band(level) == EarBand::Insufficient) {
        choice.notes.push_back(say<ChoicePhrase::InsufficientAtEar>(
            level,
            by_EN_458(level,
                      choice.verdict == Verdict::Within && !close_at_best &&
                          !lacks_limit_of_age(person),
                      choice.verdict <= Verdict::Close && !lacks_limit_of_age(person))));
    }
}

void note_speech(RankedChoice& choice) {
    if (!choice.intercom) return;
    const IntercomAtEar& intercom = *choice.intercom;
    const auto above = intercom.above_residual();
    if (intercom.speech < faintest_speech) {
        choice.notes.push_back(
            say<ChoicePhrase::SpeechMissed>(intercom.speech, intercom.by_average));
    } else if (above && *above < understood_from) {
        choice.notes.push_back(say<ChoicePhrase::SpeechNotUnderstood>(
            std::abs(above->dB()), above->dB() < 0.0, intercom.by_average));
    }
}

/// A label does not outweigh a fit test of a part of what it speaks of.
void note_fit_test(const Plan& plan, const Person& person, RankedChoice& choice) {
    const bool tested_in_part =
        person.PAR && !choice.worn_now &&
        std::ranges::find_first_of(choice.wears, person.wears) != choice.wears.end();
    if (!tested_in_part) return;
    choice.verdict = Verdict::Unknown;
    choice.notes.push_back(
        say<ChoicePhrase::FitTestOutweighs>(in_order(plan.catalogue, person.wears)));
}

/// The day with the octave bands that the method left out counted unreduced.
ExposureDay with_left_out_bands(ExposureDay day) {
    for (ExposureRow& row : day.rows) {
        if (!row.prediction || !row.prediction->left_out) continue;
        const double energy =
            relative_energy(*row.while_worn) + relative_energy(*row.prediction->left_out);
        row.while_worn = row.at_ear = *level_of_relative_energy<quantity::AWeighted>(energy);
    }
    return day;
}

void note_left_out(const Person& person, const ExposureDay& day, RankedChoice& choice) {
    if (choice.verdict == Verdict::Over || choice.verdict == Verdict::Unknown) return;
    if (!is_over_any(person, with_left_out_bands(day), limits_for_protection(person))) return;
    choice.verdict = Verdict::Unknown;
    choice.notes.push_back(say<ChoicePhrase::BandsLeftOutCouldExceed>());
}

}  // namespace

Person wearing_that(const Person& person, const std::vector<std::string>& wears) {
    Person wearer = person;
    wearer.wears = wears;
    wearer.wearing = {};
    if (!are_same_set(wears, person.wears)) wearer.PAR = wearer.PAR_uncertainty = std::nullopt;
    return wearer;
}

std::vector<Message> notes_of_warnings(const Plan& plan, const Person& person,
                                       const std::vector<std::string>& wears,
                                       const ExposureDay& day,
                                       std::span<const WarningPhrase> phrases, bool these) {
    std::vector<Warning> warnings;
    warn_of_person(plan, wearing_that(person, wears), day, warnings);
    std::vector<Message> notes;
    for (Warning& warning : warnings) {
        const bool superseded = warning.says.is(WarningPhrase::DeratingSuperseded);
        if (superseded && !day.uses(Method::Nrr)) continue;
        const auto is_it = [&](WarningPhrase one) { return warning.says.is(one); };
        if (std::ranges::any_of(phrases, is_it) == these) notes.push_back(std::move(warning.says));
    }
    return notes;
}

void note_undecided(const Person& person, const Criterion* tightest, RankedChoice& choice) {
    choice.notes.push_back(tightest ? say<ChoicePhrase::Undecided>(tightest->id)
                                    : say<ChoicePhrase::NoCriterionForRole>(name_of(person.role)));
}

void note_peak(const CriterionResult& peak, RankedChoice& choice) {
    const std::string& id = peak.criterion->id;
    if (peak.verdict == Verdict::Unknown) {
        choice.notes.push_back(say<ChoicePhrase::PeakUndecided>(id, peak.remarks));
    } else if (peak.verdict != Verdict::Within || peak.by_bound) {
        choice.notes.push_back(say<ChoicePhrase::PeakNotSure>(id, peak.by_bound, *peak.value,
                                                              peak.limit, peak.remarks));
    }
}

void note_margin(const Criterion* tightest, RankedChoice& choice) {
    if (!tightest) return;
    const double margin = choice.margin_by_wearing->dB();
    choice.notes.push_back(
        say<ChoicePhrase::MarginToLimit>(std::abs(margin), margin < 0.0, tightest->id));
}

bool counts_whatever_is_worn(const CriterionResult& result, const Person& person) {
    if (result.is_peak) return !result.criterion->peak->at_ear;
    return !counts_for(*result.criterion, person, limits_for_protection(person));
}

void note_tightest_whatever_is_worn(const CriterionResult& tightest, RankedChoice& choice) {
    if (!tightest.margin) return;  // said of the peaks, whatever is worn
    const double margin = tightest.margin->dB();
    choice.notes.push_back(say<ChoicePhrase::TightestWhateverIsWorn>(
        std::abs(margin), margin < 0.0, tightest.criterion->id, tightest.is_peak));
}

void note_day(const Plan& plan, const Person& person, const ExposureDay& day,
              RankedChoice& choice) {
    note_usefulness(person, !unmeasured_in(plan, person, day).empty(), choice);
    const bool over = choice.verdict != Verdict::Over && choice.with_poor_fit == Verdict::Over;
    const bool undecided =
        choice.verdict <= Verdict::Close && choice.with_poor_fit == Verdict::Unknown;
    if (over || undecided) choice.notes.push_back(say<ChoicePhrase::HangsOnFit>(over));
    note_speech(choice);
    std::ranges::move(notes_of_warnings(plan, person, choice.wears, day, said_otherwise, false),
                      std::back_inserter(choice.notes));
    note_fit_test(plan, person, choice);
    note_left_out(person, day, choice);
}

void note_comfort(const Plan& plan, const Person& person, RankedChoice& choice) {
    const bool participant = person.role == Role::Participant;
    for (const std::string& id : choice.wears) {
        const Protector& protector = plan.catalogue.find(id)->protector;
        if (participant && !protector.fits_head_coil.value_or(!protector.is_earmuff())) {
            choice.fits_head_coil = false;
            choice.notes.push_back(
                say<ChoicePhrase::NotForHeadCoil>(id, protector.fits_head_coil.has_value()));
        }
        if (auto unstated = metal_unstated(plan, person, protector)) {
            choice.stated_metal_free = false;
            choice.notes.push_back(*std::move(unstated));
        }
        if (agrees_to(person, protector)) {
            if (is_comfortable(person, protector)) continue;
            if (person.unfitted_ear && !protector.is_earmuff())
                choice.notes.push_back(say<WarningPhrase::UnfittedEar>(*person.unfitted_ear));
            else
                choice.notes.push_back(say<ChoicePhrase::NotForCanal>(id, name_of(*person.canal)));
        } else {
            choice.notes.push_back(say<ChoicePhrase::AgreesTo>(person.only == WearsOnly::Plugs));
        }
        choice.comfortable = false;
    }
}

void note_whatever_is_worn(const Plan& plan, const Person& person, PersonChoice& choices) {
    const ExposureDay day = day_exposure(plan, person, {}, Wearing{});
    choices.notes = notes_of_warnings(plan, person, {}, day, said_otherwise, false);
    const auto is_said = [&said = choices.notes](const Message& note) {
        return std::ranges::find(said, note) != said.end();
    };
    for (RankedChoice& choice : choices.ranking)
        std::erase_if(choice.notes, is_said);
    std::erase_if(choices.unprotected.notes, is_said);
    if (limits_for_protection(person) == Limits::WithProtection) {
        for (const Criterion& criterion : person.policy.criteria) {
            if (!criterion.is_for(person.role) || criterion.with_protection) continue;
            if (!is_over(criterion, parts_for(criterion, day))) continue;
            choices.notes.push_back(
                criterion.kind == CriterionKind::ActionValue
                    ? say<ChoicePhrase::AboveWhateverIsWorn>(criterion.id, criterion.when_above)
                    : say<ChoicePhrase::OverWhateverIsWorn>(criterion.id));
        }
    }
    if (person.wearing.poor_fit && !person.wears.empty()) {
        choices.notes.push_back(say<ChoicePhrase::PoorlySeatedNotOffered>());
    } else if (person.wearing.fraction_of_time < 1.0) {
        choices.notes.push_back(say<ChoicePhrase::WornPartOfTheTime>());
    }
}

}  // namespace earbudget
