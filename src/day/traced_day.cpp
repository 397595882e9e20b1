#include "day/traced_day.hpp"

#include <algorithm>
#include <tuple>

#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/study/position.hpp"
#include "protection/traced.hpp"

namespace earbudget {

namespace {

constexpr Formula nothing_taken_off{
    "L = LA", "nothing worn, or the sound lacks what the method needs and counts unreduced"};

constexpr Formula fit_beside_background{
    "L' = 10 lg(10^((LA − reduction)/10) + 10^(background/10)); poorly seated LA − min(reduction, "
    "10 dB)",
    "the method's; a background there that lacks what the method needs is added unreduced"};

/// Rows that come to the ear alike.
struct SameRows {
    std::vector<std::size_t> rows;
};

auto alike(const ExposureRow& row) {
    return std::tuple(row.sound.get(), row.prediction.get(), row.with_protector, row.fraction_worn,
                      row.poor_fit, row.unreduced);
}

std::vector<SameRows> distinct(const ExposureDay& day) {
    std::vector<SameRows> all;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        if (!day.rows[i].sound) continue;
        const auto same = std::ranges::find_if(all, [&](const SameRows& other) {
            return alike(day.rows[other.rows.front()]) == alike(day.rows[i]);
        });
        if (same == all.end()) {
            all.push_back({{i}});
        } else {
            same->rows.push_back(i);
        }
    }
    return all;
}

std::vector<std::string> keys(const Trace& trace, const SameRows& same, std::string_view key) {
    std::vector<std::string> all;
    if (!trace.has_rows()) return all;
    for (const std::size_t row : same.rows)
        all.push_back(key_of("segments", row, key));
    return all;
}

/// What the participant's ear position has while a row runs; none where the row was measured there.
const SoundLevels* at_ear_position(const Plan& plan, const Transmission& there,
                                   const ExposureRow& row) {
    if (!row.sequence) {
        return there.background || !plan.background ? nullptr : &*plan.background;
    }
    return there.measured.contains(*row.sequence) ? nullptr : &plan.sequences[*row.sequence].levels;
}

void leave_position(const Plan& plan, const Person& person, const ExposureRow& row,
                    std::vector<std::string> of, Trace& trace) {
    if (!row.position || person.tasks[*row.task].levels) return;
    const Transmission& there =
        plan.positions[*row.position].with(person.tasks[*row.task].door_open);
    const SoundLevels* here = at_ear_position(plan, there, row);
    if (!here) return;
    const auto moved = sound_there(*here, there);
    if (!moved) return;
    const bool by_band = !there.octave_difference.empty() && !here->a_weighted_octaves().empty();
    StepOf step(say<StepPhrase::PositionLevel>(words_of(plan, person, row)), std::move(of),
                by_band ? formula_of_band_differences : formula_of_difference);
    step.value("at_ear_position_dB", here->LAeq);
    if (by_band) {
        step.columns({"Hz", "LA_dB", "difference_dB"});
        const OctaveLevelsA before = here->a_weighted_octaves();
        const OctaveLevelsA after = moved->a_weighted_octaves();
        for (const OctaveBand band : octave_bands) {
            if (!before.has(band)) continue;
            step.row(name_of(band), before.at(band), *after.at(band) - *before.at(band));
        }
    } else {
        step.value("difference_dB", there.difference);
    }
    if (row.sequence && there.background) step.value("background_dB", there.background->LAeq);
    trace.leave(step.is(row.outside(), "dB(A)"));
}

void leave_row(const ExposureRow& row, const Message& name, const SameRows& same, Trace& trace) {
    if (!row.prediction) {
        trace.leave(StepOf(say<StepPhrase::AtEar>(name), keys(trace, same, "at_ear_LAeq_dB"),
                           nothing_taken_off)
                        .value("LA_dB", row.outside())
                        .is(row.at_ear, "dB(A)"));
        return;
    }
    const bool all_the_time = row.fraction_worn == 1.0;
    trace.leave(
        StepOf(say<StepPhrase::AtEarWhileWorn>(name),
               all_the_time ? keys(trace, same, "at_ear_LAeq_dB") : std::vector<std::string>(),
               row.unreduced ? fit_beside_background : formula_of_fit)
            .value("LA_dB", row.sound->LAeq)
            .value("reduction_dB", row.prediction->reduction)
            .value("background_dB", row.unreduced)
            .value("fit", row.poor_fit ? "poor" : "as-rated")
            .is(row.while_worn, "dB(A)"));
    if (all_the_time) return;
    trace.leave(StepOf(say<StepPhrase::AtEarOverTime>(name), keys(trace, same, "at_ear_LAeq_dB"),
                       formula_of_wearing_time)
                    .value("w", row.fraction_worn)
                    .value("L'_dB", row.while_worn)
                    .value("LA_dB", row.outside())
                    .is(row.at_ear, "dB(A)"));
}

/// What a prediction from LA alone, or by another card's bands, may be wrong by.
void leave_form(const Prediction& prediction, const Message& name, const SameRows& same,
                Trace& trace) {
    if (prediction.form == MethodForm::AsDefined) return;
    const auto& ends = prediction.form_ends;
    StepOf step(say<StepPhrase::SpectrumUncertainty>(name),
                keys(trace, same, "spectrum_uncertainty_dB"),
                ends ? formula_of_uncertainty_between : formula_of_spread_over_spectra);
    if (ends) step.value("R1_dB", (*ends)[0]).value("R2_dB", (*ends)[1]);
    trace.leave(step.is(prediction.form_uncertainty, "dB"));
    if (!prediction.reduction_by_M) return;
    trace.leave(StepOf(say<StepPhrase::ReductionByM>(name), keys(trace, same, "reduction_by_M_dB"),
                       formula_of_reduction_by_M)
                    .value("M_dB", prediction.hml->M)
                    .value("deduction_dB", prediction.deduction)
                    .is(prediction.reduction_by_M, "dB"));
}

constexpr Formula reduction_of_a_row{"reduction = LAeq outside − LAeq at the ear", "difference"};

/// What is worn during a row.
std::vector<const Protector*> worn_during(const Plan& plan, const Person& person,
                                          const ExposureDay& day, const ExposureRow& row) {
    const bool own = row.task && person.tasks[*row.task].wears;
    std::vector<const Protector*> worn;
    for (const std::string& id :
         what_counts(plan.catalogue, person, own ? *person.tasks[*row.task].wears : day.wears))
        worn.push_back(&plan.catalogue.find(id)->protector);
    return worn;
}

}  // namespace

std::vector<std::string> topics_of(const Plan& plan, const ExposureRow& row) {
    if (!row.sequence) return {};
    return {plan.sequences[*row.sequence].id};
}

Message words_of(const Plan& plan, const Person& person, const ExposureRow& row) {
    const Task* task = row.task ? &person.tasks[*row.task] : nullptr;
    Message words = row.sequence   ? as_it_stands(plan.sequences[*row.sequence].id)
                    : !task        ? say<StepPhrase::Rest>()
                    : task->levels ? say<StepPhrase::OwnNoise>()
                                   : say<StepPhrase::Background>();
    if (task && !task->title.empty()) words = say<StepPhrase::InTask>(task->title, words);
    if (row.position) words = say<StepPhrase::AtPosition>(words, plan.positions[*row.position].id);
    return words;
}

void leave_levels(const Plan& plan, const Person& person, const ExposureDay& day, Trace& trace) {
    for (const SameRows& same : distinct(day)) {
        const ExposureRow& row = day.rows[same.rows.front()];
        const Message name = words_of(plan, person, row);
        const Trace::About about(trace, topics_of(plan, row));
        leave_position(plan, person, row, keys(trace, same, "LAeq_dB"), trace);
        if (row.prediction) {
            leave_prediction(*row.prediction, *row.sound, worn_during(plan, person, day, row), name,
                             trace);
            leave_form(*row.prediction, name, same, trace);
        }
        leave_row(row, name, same, trace);
        if (!trace.has_rows()) continue;
        trace.leave(StepOf(say<StepPhrase::Reduction>(name), keys(trace, same, "reduction_dB"),
                           reduction_of_a_row)
                        .value("LAeq_dB", row.outside())
                        .value("at_ear_LAeq_dB", row.at_ear)
                        .is(*row.outside() - *row.at_ear, "dB"));
    }
}

WorkingStep over_rows(const Plan& plan, const Person& person, const ExposureDay& day, ExposureAt as,
                      StepOf step, const WorkingValue& result, const std::string& unit,
                      double days) {
    step.columns({"row", "L_dB", "t_s"});
    for_each_part(day, as, days, [&](const ExposureRow& row, const ExposurePart& part) {
        step.row(words_of(plan, person, row), part.level, part.time);
    });
    return step.is(result, unit);
}

void add_rows_between(const Plan& plan, const Person& person, const ExposureDay& day, ExposureAt as,
                      const LoudestStretch& stretch, StepOf& step) {
    step.value("begins_s", stretch.begin).columns({"row", "L_dB", "t_s"});
    const Seconds end = stretch.begin + Hours(1);
    Seconds begins(0.0);
    for (const std::size_t i : day.course()) {
        const ExposureRow& row = day.rows[i];
        const Seconds within = std::min(begins + row.time, end) - std::max(begins, stretch.begin);
        const auto level = as == ExposureAt::Outside ? row.outside() : row.at_ear;
        if (within > Seconds(0.0)) step.row(words_of(plan, person, row), level, within);
        begins += row.time;
    }
}

WorkingStep daily_exposure_step(const Plan& plan, const Person& person, const ExposureDay& day,
                                Message what, std::vector<std::string> of) {
    return over_rows(plan, person, day, ExposureAt::AtEar,
                     StepOf(std::move(what), std::move(of), formula_of_daily_exposure_at_ear),
                     shown(daily_exposure_level(day.at_ear())), "dB(A)");
}

}  // namespace earbudget
