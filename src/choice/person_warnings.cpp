#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <utility>

#include "choice/notes.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/study/card_age.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

namespace {

// Adds warnings that concern the person.
class PersonWarnings {
  public:
    PersonWarnings(const Person& person, std::vector<Warning>& warnings)
        : person_(person), warnings_(warnings) {}

    void add(Message says) { warnings_.push_back(warning_for(person_, std::move(says))); }

  private:
    const Person& person_;
    std::vector<Warning>& warnings_;
};

/// What the person wears, and what in its place, each once.
std::vector<std::string> handed_out_to(const Person& person) {
    std::vector<std::string> ids = person.wears;
    for (const std::string& id : person.instead)
        add_once(id, ids);
    return ids;
}

void warn_of_metal(const Plan& plan, const Person& person, PersonWarnings& warnings) {
    for (const std::string& id : metal_near_magnet(plan, person)) {
        const auto handed_out = handed_out_to(person);
        const bool in_bore = person.role == Role::Participant &&
                             std::ranges::find(handed_out, id) != handed_out.end();
        warnings.add(in_bore ? say<WarningPhrase::MetalInBore>(id)
                             : say<WarningPhrase::MetalNearMagnet>(id));
    }
}

void warn_of_weekly_average(const Person& person, PersonWarnings& warnings) {
    if (!person.policy.weekly_average || person.days_per_week) return;
    const auto& criteria = person.policy.criteria;
    const bool allowed = std::any_of(criteria.begin(), criteria.end(), [&](const Criterion& c) {
        return c.is_for(person.role) && c.allows_weekly_average;
    });
    if (allowed) warnings.add(say<WarningPhrase::WeeklyAverageNotUsed>());
}

void warn_of_head_coil(const Plan& plan, const Person& person, PersonWarnings& warnings) {
    if (person.role != Role::Participant) return;
    for (const std::string& id : handed_out_to(person)) {
        const Protector& protector = plan.catalogue.find(id)->protector;
        if (protector.fits_head_coil == false)
            warnings.add(say<WarningPhrase::DoesNotFitHeadCoil>(id));
    }
}

// Not a reason to refuse: the person at the scanner decides.
void warn_of_comfort(const Plan& plan, const Person& person, PersonWarnings& warnings) {
    for (const std::string& id : handed_out_to(person)) {
        const Protector& protector = plan.catalogue.find(id)->protector;
        if (auto unstated = metal_unstated(plan, person, protector))
            warnings.add(*std::move(unstated));
        if (is_comfortable(person, protector)) continue;
        const unsigned why = !agrees_to(person, protector)
                                 ? (person.only == WearsOnly::Plugs ? 1U : 2U)
                             : person.unfitted_ear ? 3U
                                                   : 4U;
        warnings.add(say<WarningPhrase::NotWhatFits>(id, why));
    }
}

void warn_of_fit(const Plan& plan, const Person& person, const ExposureDay& day,
                 PersonWarnings& warnings) {
    const auto& policy_method = person.policy.rules.method;
    if (person.PAR && policy_method && *policy_method != Method::Par)
        warnings.add(say<WarningPhrase::FitTestUsed>(*person.PAR, name_of(*policy_method)));
    const Derating::Kind derating = person.policy.rules.derating.kind;
    if (person.PAR && !is_defined(derating, Method::Par))
        warnings.add(say<WarningPhrase::DeratingNotUsed>(name_of(derating)));
    if (person.PAR && !person.PAR_uncertainty && person.fit_uncertainty.dB() == 0.0)
        warnings.add(say<WarningPhrase::FitTestUncertainty>());
    if (!person.PAR && day.method == Method::Par)
        warnings.add(say<WarningPhrase::FitTestOfOthers>(
            in_order(plan.catalogue, person.wears),
            std::ranges::any_of(person.wears, [&](const std::string& id) {
                return plan.catalogue.find(id)->owner == person.id;
            })));
    if (person.wearing.poor_fit && !plan.catalogue.protectors.empty())
        warnings.add(say<WarningPhrase::PoorFit>(poor_fit_reduction));
}

void warn_of_speech(const Plan& plan, const Person& person, PersonWarnings& warnings) {
    if (person.role != Role::Participant || !person.policy.speech_must_be_heard) return;
    if (!plan.intercom) {
        warnings.add(say<WarningPhrase::IntercomUnstated>());
    } else if (!plan.background) {
        warnings.add(say<WarningPhrase::IntercomWithoutBackground>());
    }
}

void warn_of_prediction(const Person& person, const ExposureDay& day, PersonWarnings& warnings) {
    const auto any = [&](bool Prediction::*is) {
        return std::ranges::any_of(day.rows, [is](const ExposureRow& row) {
            return row.prediction && (*row.prediction).*is;
        });
    };
    if (any(&Prediction::one_unknown)) {
        warnings.add(say<WarningPhrase::PairWithUnknown>());
    } else if (any(&Prediction::estimated_pair)) {
        warnings.add(say<WarningPhrase::PairEstimated>());
    }
    const std::string_view caution = caution_on(person.policy.rules.derating.kind);
    if (person.PAR || caution.empty()) return;
    const bool german = person.policy.rules.derating.kind == Derating::Kind::Trlv;
    if (!german) {
        warnings.add(say<WarningPhrase::DeratingSuperseded>(caution));
    } else if (std::ranges::none_of(person.policy.criteria, [](const Criterion& criterion) {
                   return criterion.id == "de-under-protector";
               })) {
        warnings.add(say<WarningPhrase::DeratingHasLimit>(caution));
    }
}

void warn_of_samples(const Person& person, PersonWarnings& warnings) {
    for (const Task& task : person.tasks) {
        if (task.LAeq_samples.empty() || !asks_for_more_samples(task.LAeq_samples)) continue;
        warnings.add(say<WarningPhrase::FewSamples>(task.LAeq_samples.size(), !task.title.empty(),
                                                    task.title,
                                                    spread_of_samples(task.LAeq_samples)));
    }
}

/// The same for everyone who hears the sound, so that no person is named.
void warn_of_defaults(const Plan& plan, const Person& person, const ExposureDay& day,
                      std::vector<Warning>& warnings) {
    std::map<Message, std::set<std::string>> names_by_source;
    const auto add = [&](const SoundErrors& sound) {
        if (sound.uncertainty.is_default)
            names_by_source[sound.uncertainty.source].insert(sound.name);
    };
    for (const ExposureRow& row : day.rows) {
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
            {say<WarningPhrase::UncertaintyByDefault>(names, source),
             card == plan.sequences.end() ? std::nullopt : std::optional(card->stated_at)});
    }
}

/// What somebody other than this program must be asked.
void warn_of_questions(const Person& person, PersonWarnings& warnings) {
    if (lacks_limit_of_age(person)) warnings.add(say<WarningPhrase::NoLimitForNeonates>());
    if (is_younger_than_adult(person))
        warnings.add(say<WarningPhrase::YoungEars>(words_of(*person.age_group)));
    if (person.unfitted_ear) warnings.add(say<WarningPhrase::UnfittedEar>(*person.unfitted_ear));
    if (person.pregnant_staff) warnings.add(say<WarningPhrase::PregnantStaff>());
    if (person.tinnitus_or_hyperacusis) warnings.add(say<WarningPhrase::Tinnitus>());
    if (person.hearing_device) warnings.add(say<WarningPhrase::HearingDevice>());
}

/// Cards that should not be used any more: the same for everyone who hears them.
void warn_of_cards(const Plan& plan, const ExposureDay& day, std::vector<Warning>& warnings) {
    std::set<std::size_t> heard;
    for (const ExposureRow& row : day.rows) {
        if (row.sequence) heard.insert(*row.sequence);
    }
    for (const std::size_t n : heard) {
        const Sequence& card = plan.sequences[n];
        if (is_stale(card, plan.date))
            warnings.push_back(
                {say<WarningPhrase::CardStale>(card.id, card.valid_until), card.stated_at});
        if (const auto others = superseded_by(card, plan.sequences); !others.empty())
            warnings.push_back(
                {say<WarningPhrase::CardSuperseded>(card.id, others), card.stated_at});
    }
}

}  // namespace

void warn_of_person(const Plan& plan, const Person& person, const ExposureDay& day,
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
    warn_of_questions(person, of_person);
    warn_of_cards(plan, day, warnings);
    warn_of_speech(plan, person, of_person);
    warn_of_weekly_average(person, of_person);
    warn_of_samples(person, of_person);
    warn_of_defaults(plan, person, day, warnings);
    if (total_time(day.outside()) > Hours(24)) of_person.add(say<WarningPhrase::DayTooLong>());
}

void warn_of_intercom(const Person& person, const std::optional<IntercomAtEar>& intercom,
                      std::vector<Warning>& warnings) {
    if (intercom && intercom->by_average)
        warnings.push_back(warning_for(person, say<WarningPhrase::IntercomByAverage>()));
}

}  // namespace earbudget
