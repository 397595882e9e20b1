#include "choice/choice_notes.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "choice/person_warnings.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/day/ear_band.hpp"
#include "earbudget/limits/judge.hpp"

namespace earbudget {

namespace {

/// The warnings of a day as notes; those about the bore have notes of their own.
std::vector<std::string> warnings_of(const Plan& plan, const Person& person,
                                     const std::vector<std::string>& wears, const HearingDay& day) {
    static const std::set<std::string> said_otherwise = {
        "metal-in-bore",  "metal-near-magnet", "does-not-fit-head-coil",
        "metal-unstated", "not-what-fits",     "intercom-by-average"};
    std::vector<Warning> warnings;
    warn_of_person(plan, wearing_that(person, wears), day, warnings);
    std::vector<std::string> notes;
    for (const Warning& warning : warnings) {
        if (said_otherwise.contains(warning.code)) continue;
        const bool superseded = warning.code == "derating-superseded";
        if (superseded && !day.uses(Method::Nrr)) continue;
        notes.push_back(warning.text);
    }
    return notes;
}

void note_usefulness(const Person& person, RankedChoice& choice) {
    if (choice.wears.empty() || !choice.while_scanning) return;
    const LevelA level = *choice.while_scanning;
    if (level < person.policy.least_useful) {
        choice.more_than_useful = true;
        choice.notes.push_back(
            fmt::format("{:.1f} dB(A) at the ear while sequences run is below {:.0f} dB(A): more "
                        "than is useful",
                        level.dB(), person.policy.least_useful.dB()));
    } else if (person.role == Role::Participant && ear_band(level) == EarBand::Insufficient) {
        choice.notes.push_back(
            fmt::format("{:.1f} dB(A) at the ear while sequences run is {}", level.dB(),
                        words_by_EN_458(level, choice.verdict <= Verdict::Close)));
    }
}

void note_speech(RankedChoice& choice) {
    if (!choice.intercom) return;
    const IntercomAtEar& intercom = *choice.intercom;
    const auto above = intercom.above_residual();
    const char* average = intercom.by_average ? ", reduced as sequences are on average" : "";
    if (intercom.speech < faintest_speech) {
        choice.notes.push_back(
            fmt::format("speech over the intercom, {:.1f} dB(A) at the ear{}, is "
                        "easily missed",
                        intercom.speech.dB(), average));
    } else if (above && *above < understood_from) {
        choice.notes.push_back(
            fmt::format("speech over the intercom stands {:.1f} dB {} the noise "
                        "left between runs{}: not surely understood",
                        std::abs(above->dB()), above->dB() < 0.0 ? "below" : "above", average));
    }
}

/// A label does not outweigh a fit test of a part of what it speaks of.
void note_fit_test(const Person& person, RankedChoice& choice) {
    const bool tested_in_part =
        person.PAR && !choice.worn_now &&
        std::ranges::find_first_of(choice.wears, person.wears) != choice.wears.end();
    if (!tested_in_part) return;
    choice.verdict = Verdict::Unknown;
    choice.notes.push_back(fmt::format(
        "not counted as an answer: the fit test was made with \"{}\", and a label does not "
        "outweigh it; test this one too",
        fmt::join(person.wears, "\" with \"")));
}

/// The day with the octave bands that the method left out counted unreduced.
HearingDay with_left_out_bands(HearingDay day) {
    for (HeardRow& row : day.rows) {
        if (!row.prediction || !row.prediction->left_out) continue;
        const double energy =
            relative_energy(*row.while_worn) + relative_energy(*row.prediction->left_out);
        row.while_worn = row.at_ear = *level_of_relative_energy<quantity::AWeighted>(energy);
    }
    return day;
}

void note_left_out(const Person& person, const HearingDay& day, RankedChoice& choice) {
    if (choice.verdict == Verdict::Over || choice.verdict == Verdict::Unknown) return;
    if (!is_over_any(person, with_left_out_bands(day), limits_for_protection(person))) return;
    choice.verdict = Verdict::Unknown;
    choice.notes.emplace_back(
        "not counted as an answer: sound in the octave bands without attenuation data would, "
        "unreduced, put it over a limit");
}

}  // namespace

Person wearing_that(const Person& person, const std::vector<std::string>& wears) {
    Person wearer = person;
    wearer.wears = wears;
    wearer.wearing = {};
    if (!are_same_set(wears, person.wears)) wearer.PAR = wearer.PAR_uncertainty = std::nullopt;
    return wearer;
}

void note_undecided(const Person& person, const Criterion* tightest, RankedChoice& choice) {
    choice.notes.push_back(
        tightest
            ? fmt::format("cannot be decided by {}: what no method reaches counts unreduced",
                          tightest->id)
            : fmt::format("none of the plan's criteria is for the role {}", name_of(person.role)));
}

void note_peak(const CriterionResult& peak, RankedChoice& choice) {
    const std::string& id = peak.criterion->id;
    if (peak.verdict == Verdict::Unknown) {
        choice.notes.push_back(
            fmt::format("whether {} is kept cannot be decided: {}", id, peak.remark));
    } else if (peak.verdict != Verdict::Within || peak.by_bound) {
        choice.notes.push_back(fmt::format("{}: peak {}{:.1f} dB(C), limit {:.1f} dB(C); {}", id,
                                           peak.by_bound ? "at most " : "", *peak.value, peak.limit,
                                           peak.remark));
    }
}

void note_margin(const Criterion* tightest, RankedChoice& choice) {
    if (!tightest) return;
    const double margin = choice.worst_margin->dB();
    choice.notes.push_back(fmt::format("{:.1f} dB {} {}", std::abs(margin),
                                       margin < 0.0 ? "over" : "left to", tightest->id));
}

void note_day(const Plan& plan, const Person& person, const HearingDay& day, RankedChoice& choice) {
    note_usefulness(person, choice);
    if (choice.verdict != Verdict::Over && choice.with_poor_fit == Verdict::Over) {
        choice.notes.emplace_back("hangs on the fit: poorly seated it is over a limit");
    } else if (choice.verdict <= Verdict::Close && choice.with_poor_fit == Verdict::Unknown) {
        choice.notes.emplace_back("hangs on the fit: poorly seated it cannot be decided");
    }
    note_speech(choice);
    for (std::string& note : warnings_of(plan, person, choice.wears, day))
        choice.notes.push_back(std::move(note));
    note_fit_test(person, choice);
    note_left_out(person, day, choice);
}

void note_comfort(const Plan& plan, const Person& person, RankedChoice& choice) {
    const bool participant = person.role == Role::Participant;
    for (const std::string& id : choice.wears) {
        const Protector& protector = plan.catalogue.find(id)->protector;
        if (participant && !protector.fits_head_coil.value_or(!protector.is_earmuff())) {
            choice.fits_head_coil = false;
            choice.notes.push_back(
                fmt::format("\"{}\" does not fit the head coil{}", id,
                            protector.fits_head_coil ? "" : ", as far as is stated"));
        }
        if (auto unstated = metal_unstated(plan, person, protector)) {
            choice.stated_metal_free = false;
            choice.notes.push_back(*std::move(unstated));
        }
        if (agrees_to(person, protector)) {
            if (is_comfortable(person, protector)) continue;
            choice.notes.push_back(
                fmt::format("\"{}\" is not made for a {} ear canal", id, name_of(*person.canal)));
        } else {
            choice.notes.push_back(
                fmt::format("the person agrees to {} only",
                            person.only == WearsOnly::Plugs ? "plugs" : "earmuffs"));
        }
        choice.comfortable = false;
    }
}

void note_whatever_is_worn(const Plan& plan, const Person& person, PersonChoice& choices) {
    const HearingDay day = hear(plan, person, {}, Wearing{});
    choices.notes = warnings_of(plan, person, {}, day);
    for (RankedChoice& choice : choices.ranking) {
        std::erase_if(choice.notes, [&](const std::string& note) {
            return std::ranges::find(choices.notes, note) != choices.notes.end();
        });
    }
    std::erase_if(choices.unprotected.notes, [&](const std::string& note) {
        return std::ranges::find(choices.notes, note) != choices.notes.end();
    });
    if (limits_for_protection(person) == Limits::WithProtection) {
        for (const Criterion& criterion : person.policy.criteria) {
            if (!criterion.is_for(person.role) || criterion.with_protection) continue;
            if (!is_over(criterion, parts_for(criterion, day))) continue;
            choices.notes.push_back(
                criterion.kind == CriterionKind::ActionValue
                    ? fmt::format("above {} whatever is worn, which is no limit: {}", criterion.id,
                                  criterion.when_above)
                    : fmt::format("over {} whatever is worn: it counts no protectors",
                                  criterion.id));
        }
    }
    if (person.wearing.poor_fit && !person.wears.empty()) {
        choices.notes.emplace_back(
            "what the plan has poorly seated is not offered again; this ranking takes everything "
            "else as well seated and worn all the time");
    } else if (person.wearing.fraction_of_time < 1.0) {
        choices.notes.emplace_back(
            "the plan has protection worn only part of the time; this ranking takes it as worn all "
            "the time");
    }
}

}  // namespace earbudget
