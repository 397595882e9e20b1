#include "choice/person_warnings.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <string>

#include <fmt/format.h>

#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/judge.hpp"
#include "uncertainty/row_level_errors.hpp"

namespace earbudget {

namespace {

// Adds warnings that concern the person.
class PersonWarnings {
  public:
    PersonWarnings(const Person& person, std::vector<Warning>& warnings)
        : person_(person), warnings_(warnings) {}

    void add(const char* code, const std::string& text) {
        warnings_.push_back(warning_for(person_, code, text));
    }

  private:
    const Person& person_;
    std::vector<Warning>& warnings_;
};

void warn_of_metal(const Plan& plan, const Person& person, PersonWarnings& warnings) {
    for (const std::string& id : metal_near_magnet(plan, person)) {
        const bool in_bore = person.role == Role::Participant &&
                             std::ranges::find(person.wears, id) != person.wears.end();
        warnings.add(in_bore ? "metal-in-bore" : "metal-near-magnet",
                     fmt::format("\"{}\" is not free of metal and must not {}", id,
                                 in_bore ? "enter the bore" : "come near the magnet"));
    }
}

void warn_of_weekly_average(const Person& person, PersonWarnings& warnings) {
    if (!person.policy.weekly_average || person.days_per_week) return;
    const auto& criteria = person.policy.criteria;
    const bool allowed = std::any_of(criteria.begin(), criteria.end(), [&](const Criterion& c) {
        return c.is_for(person.role) && c.allows_weekly_average;
    });
    if (!allowed) return;
    warnings.add("weekly-average-not-used",
                 "days_per_week is not stated: the daily level is compared and no weekly average");
}

void warn_of_head_coil(const Plan& plan, const Person& person, PersonWarnings& warnings) {
    if (person.role != Role::Participant) return;
    for (const std::string& id : person.wears) {
        const Protector& protector = plan.catalogue.find(id)->protector;
        if (protector.fits_head_coil == false) {
            warnings.add("does-not-fit-head-coil",
                         fmt::format("\"{}\" does not fit the head coil", id));
        }
    }
}

// Not a reason to refuse: the person at the scanner decides.
void warn_of_comfort(const Plan& plan, const Person& person, PersonWarnings& warnings) {
    for (const std::string& id : person.wears) {
        const Protector& protector = plan.catalogue.find(id)->protector;
        if (auto unstated = metal_unstated(plan, person, protector)) {
            warnings.add("metal-unstated", *std::move(unstated));
        }
        if (!is_comfortable(person, protector)) {
            warnings.add(
                "not-what-fits",
                fmt::format("\"{}\" is not what the person agrees to or has ear canals for", id));
        }
    }
}

void warn_of_fit(const Plan& plan, const Person& person, const HearingDay& day,
                 PersonWarnings& warnings) {
    const auto& policy_method = person.policy.rules.method;
    if (person.PAR && policy_method && *policy_method != Method::Par) {
        warnings.add(
            "fit-test-used",
            fmt::format("the fit test (PAR {:.1f} dB) is used in the place of the policy's "
                        "method {}: it tells of this person, a label does not",
                        person.PAR->dB(), name_of(*policy_method)));
    }
    const Derating::Kind derating = person.policy.rules.derating.kind;
    if (person.PAR && !is_defined(derating, Method::Par)) {
        warnings.add("derating-not-used",
                     fmt::format("derating {} is for labels and is not applied to the fit test",
                                 name_of(derating)));
    }
    if (person.PAR && !person.PAR_uncertainty && person.fit_uncertainty.dB() == 0.0) {
        warnings.add("fit-test-uncertainty",
                     "the fit test states no PAR_uncertainty: its spread over insertions is not "
                     "counted in the probability of being over");
    }
    if (!person.PAR && day.method == Method::Par) {
        warnings.add("fit-test-of-others",
                     fmt::format("the PAR of \"{}\" in the catalogue is used, which is no fit test "
                                 "of this person",
                                 fmt::join(person.wears, "\" with \"")));
    }
    if (person.wearing.poor_fit && !plan.catalogue.protectors.empty()) {
        warnings.add("poor-fit", fmt::format("a poor fit counts as no more than {:.0f} dB (common "
                                             "practice, no source)",
                                             poor_fit_reduction.dB()));
    }
}

void warn_of_speech(const Plan& plan, const Person& person, PersonWarnings& warnings) {
    if (person.role != Role::Participant || !person.policy.speech_must_be_heard) return;
    if (!plan.intercom) {
        warnings.add("intercom-unstated",
                     "speech must be heard, but the plan states no [intercom]: by how much it "
                     "stands above the noise left between runs is not known");
    } else if (!plan.background) {
        warnings.add("intercom-without-background",
                     "the plan states no [background]: by how much speech over the intercom "
                     "stands above the noise left between runs is not known");
    }
}

void warn_of_prediction(const Person& person, const HearingDay& day, PersonWarnings& warnings) {
    const bool estimated = std::any_of(day.rows.begin(), day.rows.end(), [](const HeardRow& row) {
        return row.prediction && row.prediction->estimated_pair;
    });
    const bool unknown = std::ranges::any_of(day.rows, [](const HeardRow& row) {
        return row.prediction && row.prediction->one_unknown;
    });
    if (unknown) {
        warnings.add("pair-with-unknown",
                     "nothing is known of one of the two worn together: it counts for nothing");
    } else if (estimated) {
        warnings.add("pair-estimated",
                     "nobody measured this pair; estimated by the higher rating plus 5 dB (OSHA "
                     "technical manual, for NRR), in octave bands by the better device plus 5 dB "
                     "below the limits of bone conduction (from memory)");
    }
    const std::string_view caution = caution_on(person.policy.rules.derating.kind);
    if (person.PAR || caution.empty()) return;
    const bool german = person.policy.rules.derating.kind == Derating::Kind::Trlv;
    if (!german) {
        warnings.add("derating-superseded", std::string(caution));
    } else if (std::ranges::none_of(person.policy.criteria, [](const Criterion& criterion) {
                   return criterion.id == "de-under-protector";
               })) {
        warnings.add("derating-has-limit", std::string(caution));
    }
}

void warn_of_samples(const Person& person, PersonWarnings& warnings) {
    for (const Task& task : person.tasks) {
        if (task.LAeq_samples.empty() || !asks_for_more_samples(task.LAeq_samples)) continue;
        warnings.add("few-samples",
                     fmt::format("the {} samples of {} lie {:.1f} dB apart: measure as many again "
                                 "or divide the task (ISO 9612:2009, 9.3, from memory)",
                                 task.LAeq_samples.size(),
                                 task.title.empty() ? "a task's noise" : '"' + task.title + '"',
                                 spread_of_samples(task.LAeq_samples).dB()));
    }
}

/// The same for everyone who hears the sound, so that no person is named.
void warn_of_defaults(const Plan& plan, const Person& person, const HearingDay& day,
                      std::vector<Warning>& warnings) {
    std::map<std::string, std::set<std::string>> names_by_source;
    const auto add = [&](const SoundErrors& sound) {
        if (sound.uncertainty.is_default)
            names_by_source[sound.uncertainty.source].insert(sound.name);
    };
    for (const HeardRow& row : day.rows) {
        for (const SoundErrors& sound : level_errors_of(plan, person, row))
            add(sound);
        if (row.unreduced) add(errors_of_unreduced(plan, person, row));
    }
    for (const auto& [source, names] : names_by_source) {
        // The first card among them, in the order of the plan's.
        const auto card = std::ranges::find_if(
            plan.sequences,
            [&names = names](const Sequence& each) { return names.contains(each.id); });
        warnings.push_back(
            {"uncertainty-by-default",
             fmt::format("no uncertainty is stated for \"{}\": {}", fmt::join(names, "\", \""),
                         source),
             card == plan.sequences.end() ? std::nullopt : std::optional(card->stated_at)});
    }
}

}  // namespace

void warn_of_person(const Plan& plan, const Person& person, const HearingDay& day,
                    std::vector<Warning>& warnings) {
    warnings.insert(warnings.end(), day.warnings.begin(), day.warnings.end());
    PersonWarnings of_person(person, warnings);
    if (!person.wears.empty()) {
        warn_of_head_coil(plan, person, of_person);
        warn_of_comfort(plan, person, of_person);
        warn_of_fit(plan, person, day, of_person);
        warn_of_prediction(person, day, of_person);
    }
    warn_of_metal(plan, person, of_person);
    warn_of_speech(plan, person, of_person);
    warn_of_weekly_average(person, of_person);
    warn_of_samples(person, of_person);
    warn_of_defaults(plan, person, day, warnings);
    if (total_time(day.outside()) > Hours(24)) {
        of_person.add("day-too-long", "the sessions of one day last longer than 24 hours");
    }
}

void warn_of_intercom(const Person& person, const std::optional<IntercomAtEar>& intercom,
                      std::vector<Warning>& warnings) {
    if (!intercom || !intercom->by_average) return;
    PersonWarnings(person, warnings)
        .add(
            "intercom-by-average",
            "[intercom] or [background] lacks what the method needs: speech and noise between runs "
            "are reduced as the sequences are on average, which speech may not be; enter its "
            "octave bands");
}

}  // namespace earbudget
