#include "day/day_warnings.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/day/methods.hpp"
#include "earbudget/protection/predict.hpp"

namespace earbudget {

namespace {

std::string words_of(const Prediction& prediction) {
    const std::string_view form = words_of(prediction.form);
    return std::string(name_of(prediction.method)) + (form.empty() ? "" : " ") + std::string(form);
}

/// The rows of sequences that a method reaches, each sequence once.
std::vector<const ExposureRow*> predicted_sequences(const WornDuring& worn) {
    std::vector<const ExposureRow*> rows;
    std::set<std::size_t> seen;
    for (const ExposureRow* row : worn.rows) {
        if (row->sequence && row->prediction && seen.insert(*row->sequence).second) {
            rows.push_back(row);
        }
    }
    return rows;
}

void warn_of_lowered(const WornDuring& worn, std::vector<Warning>& warnings) {
    const auto rows = predicted_sequences(worn);
    if (rows.empty()) return;
    const auto better = [&](const ExposureRow* one, const ExposureRow* other) {
        return is_better(one->prediction->method, other->prediction->method, worn.attenuation);
    };
    const Method best = (*std::ranges::min_element(rows, better))->prediction->method;
    for (const ExposureRow* row : rows) {
        if (row->prediction->method == best) continue;
        const auto lacking = find_obstacle(best, *row->sound, worn.attenuation, {});
        if (!lacking) continue;
        const Sequence& card = worn.plan.sequences[*row->sequence];
        warnings.push_back(
            {say<WarningPhrase::LesserMethod>(card.id, worn.wears, words_of(*row->prediction),
                                              name_of(best), lacking->says),
             card.stated_at});
    }
}

/// How a form came about, what it is worth and what would be better.
Message form_of(const ExposureRow& row, const std::vector<std::string>& wears) {
    const Prediction& prediction = *row.prediction;
    const std::string_view method = name_of(prediction.method);
    if (prediction.form == MethodForm::SpectrumLike) {
        return say<WarningPhrase::BorrowedSpectrum>(row.sound->borrowed->card, method, wears,
                                                    prediction.form_uncertainty,
                                                    least_uncertainty_of_borrowed_spectrum);
    }
    const auto range = range_of_C_minus_A(row.sound->low_frequency);
    return say<WarningPhrase::LAeqAlone>(
        method, wears, words_of(prediction.form), source_of(prediction.method, prediction.form),
        prediction.reduction_by_M
            ? say<WarningPhrase::ReductionByM>(prediction.reduction, *prediction.reduction_by_M)
            : Message(),
        prediction.form_uncertainty, range.lowest, range.highest,
        !row.sound->low_frequency && !row.sound->low_frequency_does_not_hold);
}

void warn_of_forms(const WornDuring& worn, std::vector<Warning>& warnings) {
    // Those alike are one warning, at the first card.
    std::vector<std::tuple<Message, std::vector<std::string>, SourcePosition>> said;
    for (const ExposureRow* row : predicted_sequences(worn)) {
        const MethodForm form = row->prediction->form;
        if (form != MethodForm::SpectrumLike && !is_check(form)) continue;
        const Sequence& card = worn.plan.sequences[*row->sequence];
        Message message = form_of(*row, worn.wears);
        const auto same = std::ranges::find_if(
            said, [&](const auto& other) { return std::get<0>(other) == message; });
        if (same == said.end()) {
            said.emplace_back(std::move(message), std::vector{card.id}, card.stated_at);
        } else {
            std::get<1>(*same).push_back(card.id);
        }
    }
    for (const auto& [form, ids, where] : said)
        warnings.push_back({say<WarningPhrase::SpectrumNotKnown>(ids, form), where});
}

void warn_of_label(const WornDuring& worn, std::vector<Warning>& warnings) {
    const auto row = std::ranges::find_if(worn.rows, [](const ExposureRow* each) {
        return each->prediction && each->prediction->asked_of_label;
    });
    if (row == worn.rows.end()) return;
    const ProtectionPerformance asked = *(*row)->prediction->asked_of_label;
    warnings.push_back(
        {say<WarningPhrase::LabelFor84Percent>(in_order(worn.plan.catalogue, worn.wears),
                                               ProtectionPerformance().percent(), asked.percent(),
                                               asked.is_above_labels()),
         worn.plan.catalogue.find(worn.wears.front())->stated_at});
}

/// Where one of a pair alone is predicted to let least more through than the pair.
struct LeftByPart {
    LevelDifference more{0.0};  ///< at the ear under the pair
    Method of_pair = {};
    Method of_part = {};
};

/// What is printed as the same is the same.
constexpr LevelDifference least_worth_saying{0.05};

/// The sequence in which one of the pair alone is predicted to reduce most more.
LeftByPart most_left_by(const WornDuring& worn, const std::string& part) {
    LeftByPart most;
    const auto alone =
        attenuation_of(worn.plan.catalogue, std::vector{part}, worn.rules.performance.alpha());
    if (!alone) return most;
    for (const ExposureRow* row : predicted_sequences(worn)) {
        WorkMeter::spend(cost::predicted_sound);
        const ChosenMethod chosen = choose_method(*row->sound, *alone, worn.rules);
        if (!chosen.method || chosen.obstacle) continue;
        const Prediction of_part = predict(*chosen.method, *row->sound, *alone, worn.rules);
        const LevelDifference more = of_part.reduction - row->prediction->reduction;
        if (more > most.more) most = {more, row->prediction->method, *chosen.method};
    }
    return most;
}

/// Of the same ears more is expected of two than of one; where "best" takes the pair by another
/// method than the part, or the pair's data are odd, the prediction may say otherwise.
void warn_of_pair(const WornDuring& worn, std::vector<Warning>& warnings) {
    // A fit test tells of these ears, and a plug in one ear alone counts for nothing.
    if (worn.wears.size() != 2 || worn.person.unfitted_ear || worn.rules.method == Method::Par)
        return;
    for (const std::string& part : worn.wears) {
        const LeftByPart left = most_left_by(worn, part);
        if (left.more <= least_worth_saying) continue;
        warnings.push_back(
            {say<WarningPhrase::PairWorseThanPart>(
                 in_order(worn.plan.catalogue, worn.wears), part, left.more, name_of(left.of_pair),
                 name_of(left.of_part), left.of_pair != left.of_part),
             worn.plan.catalogue.find(worn.wears.front())->stated_at});
    }
}

void warn_of_silence(const Person& person, ExposureDay& day) {
    const bool rests = std::any_of(day.rows.begin(), day.rows.end(), [](const ExposureRow& row) {
        return !row.sequence && !row.sound;
    });
    if (rests) day.warnings.push_back(warning_for(person, say<WarningPhrase::NoBackground>()));
}

// Bands that the method leaves out may matter when their level, unreduced, comes this close to the
// level at the ear.
constexpr LevelDifference close_enough_to_matter{10.0};

void warn_of_prediction(const Person& person, const std::string& sequence,
                        const Prediction& prediction, std::vector<Warning>& warnings) {
    const auto warn = [&](Message says) {
        warnings.push_back(warning_for(person, std::move(says)));
    };
    if (prediction.raised_to_zero) {
        warn(say<WarningPhrase::ReductionBelowZero>(sequence, prediction.before_holding()));
    }
    const LevelA under_protector = prediction.LA - prediction.by_method;
    if (prediction.left_out && *prediction.left_out > under_protector - close_enough_to_matter) {
        warn(say<WarningPhrase::BandsLeftOut>(sequence, *prediction.left_out,
                                              prediction.starts_at_63_Hz ? 63 : 125));
    }
    if (prediction.LC_without_63_Hz) warn(say<WarningPhrase::LCWithout63Hz>(sequence));
}

/// Whether something is worn against noise of which the method lacks data.
bool has_unreduced(const ExposureDay& day, const Person& person, bool other_noise) {
    return std::any_of(day.rows.begin(), day.rows.end(), [&](const ExposureRow& row) {
        if (row.sequence || !row.sound || row.prediction || !row.with_protector) return false;
        return other_noise == (row.task && person.tasks[*row.task].levels);
    });
}

/// What no method reaches, so that it counts unreduced.
void warn_of_unreached(const Person& person, ExposureDay& day) {
    for (const Unreached& unreached : day.unreached) {
        if (!unreached.sequence) continue;  // rooms and other noise have warnings of their own
        day.warnings.push_back({unreached.protector
                                    ? say<WarningPhrase::ProtectorLacksData>(
                                          unreached.sounds, unreached.wears, unreached.why())
                                    : say<WarningPhrase::CardLacksData>(
                                          unreached.sounds, unreached.wears, unreached.why()),
                                unreached.where});
    }
    const auto& rule = person.policy.rules.method;
    const bool by_rule = rule && !person.PAR;
    const std::string_view method = by_rule ? name_of(*rule) : "";
    if (has_unreduced(day, person, /*other_noise=*/false)) {
        day.warnings.push_back(
            warning_for(person, say<WarningPhrase::BackgroundUnreduced>(by_rule, method)));
    }
    if (has_unreduced(day, person, /*other_noise=*/true)) {
        day.warnings.push_back(
            warning_for(person, say<WarningPhrase::OtherNoiseUnreduced>(by_rule, method)));
    }
}

}  // namespace

void warn_of_methods(const WornDuring& worn, std::vector<Warning>& warnings) {
    warn_of_lowered(worn, warnings);
    warn_of_forms(worn, warnings);
    warn_of_label(worn, warnings);
    warn_of_pair(worn, warnings);
}

void warn_of_day(const Plan& plan, const Person& person, ExposureDay& day) {
    warn_of_silence(person, day);
    std::set<std::size_t> seen;
    for (const ExposureRow& row : day.rows) {
        if (!row.sequence || !row.prediction || !seen.insert(*row.sequence).second) continue;
        warn_of_prediction(person, plan.sequences[*row.sequence].id, *row.prediction, day.warnings);
    }
    warn_of_unreached(person, day);
}

}  // namespace earbudget
