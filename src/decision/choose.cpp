#include "earbudget/decision/choose.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "decision/rank.hpp"
#include "earbudget/decision/candidates.hpp"
#include "earbudget/decision/judge.hpp"
#include "earbudget/study/input_error.hpp"

namespace earbudget {

namespace {

using Wears = std::vector<std::string>;

/// Every protector alone, then every plug under every earmuff.
std::vector<Wears> all_sets(const Catalogue& catalogue) {
    std::vector<Wears> sets;
    for (const CatalogueEntry& entry : catalogue.protectors)
        sets.push_back({entry.protector.id});
    for (const CatalogueEntry& plug : catalogue.protectors) {
        for (const CatalogueEntry& earmuff : catalogue.protectors) {
            if (plug.protector.is_earmuff() || !earmuff.protector.is_earmuff()) continue;
            sets.push_back({plug.protector.id, earmuff.protector.id});
        }
    }
    return sets;
}

const char* place_of_no_metal(Role role) {
    return role == Role::Participant ? "enter the bore" : "come near the magnet";
}

/// Why this may not be worn at all; none where it may.
std::optional<std::string> forbidden(const Plan& plan, const Person& person, const Wears& wears) {
    for (const std::string& id : wears) {
        const auto& cannot = person.cannot_wear;
        if (std::find(cannot.begin(), cannot.end(), id) != cannot.end()) {
            return fmt::format("{} cannot wear \"{}\"", person.id, id);
        }
        const Protector& protector = plan.catalogue.find(id)->protector;
        if (person.role != Role::Staff && protector.metal_free == false) {
            return fmt::format("\"{}\" is not free of metal and must not {}", id,
                               place_of_no_metal(person.role));
        }
    }
    return std::nullopt;
}

void note_bore(const Person& person, const Protector& protector, RankedChoice& choice) {
    if (person.role != Role::Participant) return;
    if (!protector.fits_head_coil.value_or(!protector.is_earmuff())) {
        choice.fits_head_coil = false;
        choice.notes.push_back(
            fmt::format("\"{}\" does not fit the head coil{}", protector.id,
                        protector.fits_head_coil ? "" : ", as far as is stated"));
    }
    if (!protector.metal_free) {
        choice.stated_metal_free = false;
        choice.notes.push_back(fmt::format(
            "\"{}\" is not stated to be free of metal: make sure before it enters the bore",
            protector.id));
    }
}

void note_comfort(const Person& person, const Protector& protector, RankedChoice& choice) {
    const bool refused = (person.only == WearsOnly::Plugs && protector.is_earmuff()) ||
                         (person.only == WearsOnly::Earmuffs && !protector.is_earmuff());
    if (refused) {
        choice.comfortable = false;
        choice.notes.push_back(fmt::format("{} agrees to {} only", person.id,
                                           person.only == WearsOnly::Plugs ? "plugs" : "earmuffs"));
    }
    const auto& sizes = protector.canal;
    if (person.canal && !sizes.empty() &&
        std::find(sizes.begin(), sizes.end(), *person.canal) == sizes.end()) {
        choice.comfortable = false;
        choice.notes.push_back(fmt::format("\"{}\" is not made for a {} ear canal", protector.id,
                                           name_of(*person.canal)));
    }
}

void judge_limits(const Person& person, const HearingDay& day, RankedChoice& choice) {
    const Criterion* tightest = nullptr;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!criterion.is_for(person.role)) continue;
        const CriterionResult result = judge_exposure(criterion, day);
        if (result.margin && (!choice.worst_margin || *result.margin < *choice.worst_margin)) {
            choice.worst_margin = result.margin;
            tightest = &criterion;
        }
    }
    choice.verdict = worst_exposure_verdict(person, day);
    if (choice.verdict == Verdict::Unknown) {
        choice.notes.push_back(
            fmt::format("none of the plan's criteria is for the role {}", name_of(person.role)));
    }
    if (!tightest) return;
    const double margin = choice.worst_margin->dB();
    choice.notes.insert(choice.notes.begin(),
                        fmt::format("{:.1f} dB {} {}", std::abs(margin),
                                    margin < 0.0 ? "over" : "left to", tightest->id));
}

void note_usefulness(const Person& person, RankedChoice& choice) {
    if (choice.wears.empty() || !choice.while_scanning ||
        *choice.while_scanning >= person.policy.least_useful)
        return;
    choice.more_than_useful = true;
    choice.notes.push_back(fmt::format(
        "{:.1f} dB(A) at the ear while sequences run is below {:.0f} dB(A): more than is useful",
        choice.while_scanning->dB(), person.policy.least_useful.dB()));
}

void note_origin(const Person& person, const HearingDay& day, RankedChoice& choice) {
    const bool estimated = std::any_of(day.rows.begin(), day.rows.end(), [](const HeardRow& row) {
        return row.prediction && row.prediction->estimated_pair;
    });
    if (estimated) choice.notes.emplace_back("estimated: nobody measured this pair");
    if (day.method == Method::Nrr) {
        const std::string_view caution = caution_on(person.policy.rules.derating.kind);
        if (!caution.empty()) choice.notes.emplace_back(caution);
    }
    const bool tested_in_part =
        person.PAR && !are_same_set(choice.wears, person.wears) &&
        std::ranges::find_first_of(choice.wears, person.wears) != choice.wears.end();
    if (tested_in_part) {
        choice.notes.push_back(
            fmt::format("by labels: the fit test of {} is of \"{}\" as worn then", person.id,
                        fmt::join(person.wears, "\" with \"")));
    }
}

void note_poor_fit(const Plan& plan, const Person& person, RankedChoice& choice) {
    const HearingDay day =
        hear(plan, person, choice.wears, Wearing{.fraction_of_time = 1.0, .poor_fit = true});
    choice.with_poor_fit = worst_exposure_verdict(person, day);
    if (choice.verdict != Verdict::Over && choice.with_poor_fit == Verdict::Over) {
        choice.notes.emplace_back("hangs on the fit: poorly seated it is over a limit");
    }
}

RankedChoice judged(const Plan& plan, const Person& person, const Wears& wears) {
    RankedChoice choice{.wears = wears};
    try {
        const HearingDay day = hear(plan, person, wears, Wearing{});
        choice.method = day.method;
        choice.at_ear_LEX_8h = daily_exposure_level(day.at_ear());
        choice.while_scanning = level_while_scanning(day);
        judge_limits(person, day, choice);
        note_usefulness(person, choice);
        note_origin(person, day, choice);
        if (!wears.empty()) note_poor_fit(plan, person, choice);
    } catch (const InputError& missing) {
        choice.verdict = Verdict::Unknown;
        choice.notes.emplace_back(missing.what());
    }
    choice.methods = method_spread(plan, person, wears, Wearing{});
    for (const std::string& id : wears) {
        const Protector& protector = plan.catalogue.find(id)->protector;
        note_bore(person, protector, choice);
        note_comfort(person, protector, choice);
    }
    return choice;
}

PersonChoice choose_for(const Plan& plan, const Person& person) {
    PersonChoice result{.person = &person, .ranking = {}, .unprotected = judged(plan, person, {})};
    for (const Wears& wears : all_sets(plan.catalogue)) {
        if (auto why = forbidden(plan, person, wears)) {
            result.not_permitted.push_back({wears, *std::move(why)});
        } else {
            result.ranking.push_back(judged(plan, person, wears));
        }
    }
    result.peak = worst_peak_verdict(plan, person, hear(plan, person, {}, Wearing{}));
    rank(result.ranking, person.policy.least_useful);
    if (!result.has_answer() && result.unprotected.verdict == Verdict::Over)
        result.required = required_reduction(plan, person);
    return result;
}

}  // namespace

bool PersonChoice::has_answer() const {
    return std::any_of(ranking.begin(), ranking.end(), [](const RankedChoice& choice) {
        return choice.verdict == Verdict::Within || choice.verdict == Verdict::Close;
    });
}

std::vector<PersonChoice> choose(const Plan& plan) {
    std::vector<PersonChoice> choices;
    for (const Person& person : plan.people)
        choices.push_back(choose_for(plan, person));
    return choices;
}

}  // namespace earbudget
