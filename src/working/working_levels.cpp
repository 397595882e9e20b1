#include <algorithm>
#include <tuple>

#include <fmt/format.h>

#include "earbudget/study/position.hpp"
#include "working/working_steps.hpp"

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

auto alike(const HeardRow& row) {
    return std::tuple(row.sound.get(), row.prediction.get(), row.with_protector, row.fraction_worn,
                      row.poor_fit, row.unreduced);
}

std::vector<SameRows> distinct(const HearingDay& day) {
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

std::vector<std::string> keys(RowKeys where, const SameRows& same, std::string_view key) {
    std::vector<std::string> all;
    if (where == RowKeys::None) return all;
    for (const std::size_t row : same.rows)
        all.push_back(key_of("segments", row, key));
    return all;
}

/// What the participant's ear position has while a row runs; none where the row was measured there.
const SoundLevels* at_ear_position(const Plan& plan, const Transmission& there,
                                   const HeardRow& row) {
    if (!row.sequence) {
        return there.background || !plan.background ? nullptr : &*plan.background;
    }
    return there.measured.contains(*row.sequence) ? nullptr : &plan.sequences[*row.sequence].levels;
}

void work_out_position(const Plan& plan, const Person& person, const HeardRow& row,
                       std::vector<std::string> of, Working& working) {
    if (!row.position || person.tasks[*row.task].levels) return;
    const Transmission& there =
        plan.positions[*row.position].with(person.tasks[*row.task].door_open);
    const SoundLevels* here = at_ear_position(plan, there, row);
    if (!here) return;
    const auto moved = sound_there(*here, there);
    if (!moved) return;
    const bool by_band = !there.octave_difference.empty() && !here->a_weighted_octaves().empty();
    StepOf step("LAeq of " + words_of(plan, person, row), std::move(of),
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
    working.push_back(step.is(row.outside(), "dB(A)"));
}

void work_out_row(const HeardRow& row, const std::string& name, RowKeys where, const SameRows& same,
                  Working& working) {
    if (!row.prediction) {
        working.push_back(
            StepOf(name + " at the ear", keys(where, same, "at_ear_LAeq_dB"), nothing_taken_off)
                .value("LA_dB", row.outside())
                .is(row.at_ear, "dB(A)"));
        return;
    }
    const bool all_the_time = row.fraction_worn == 1.0;
    working.push_back(
        StepOf(name + " at the ear while worn",
               all_the_time ? keys(where, same, "at_ear_LAeq_dB") : std::vector<std::string>(),
               row.unreduced ? fit_beside_background : formula_of_fit)
            .value("LA_dB", row.sound->LAeq)
            .value("reduction_dB", row.prediction->reduction)
            .value("background_dB", row.unreduced)
            .value("fit", row.poor_fit ? "poor" : "as-rated")
            .is(row.while_worn, "dB(A)"));
    if (all_the_time) return;
    working.push_back(StepOf(name + " at the ear over the wearing time",
                             keys(where, same, "at_ear_LAeq_dB"), formula_of_wearing_time)
                          .value("w", row.fraction_worn)
                          .value("L'_dB", row.while_worn)
                          .value("LA_dB", row.outside())
                          .is(row.at_ear, "dB(A)"));
}

/// What a prediction from LA alone, or by another card's bands, may be wrong by.
void work_out_form(const Prediction& prediction, const std::string& name, RowKeys where,
                   const SameRows& same, Working& working) {
    if (prediction.form == MethodForm::AsDefined) return;
    const auto& ends = prediction.form_ends;
    StepOf step("spectrum of " + name + ", standard uncertainty of the reduction",
                keys(where, same, "spectrum_uncertainty_dB"),
                ends ? formula_of_uncertainty_between : formula_of_spread_over_spectra);
    if (ends) step.value("R1_dB", (*ends)[0]).value("R2_dB", (*ends)[1]);
    working.push_back(step.is(prediction.form_uncertainty, "dB"));
    if (!prediction.reduction_by_M) return;
    working.push_back(StepOf("reduction of " + name + " by M beside it",
                             keys(where, same, "reduction_by_M_dB"), formula_of_reduction_by_M)
                          .value("M_dB", prediction.hml->M)
                          .value("deduction_dB", prediction.deduction)
                          .is(prediction.reduction_by_M, "dB"));
}

constexpr Formula reduction_of_a_row{"reduction = LAeq outside − LAeq at the ear", "difference"};

}  // namespace

void work_out_levels(const Plan& plan, const Person& person, const std::vector<std::string>& wears,
                     const HearingDay& day, RowKeys where, Working& working) {
    for (const SameRows& same : distinct(day)) {
        const HeardRow& row = day.rows[same.rows.front()];
        const std::string name = words_of(plan, person, row);
        const std::size_t first = working.size();
        work_out_position(plan, person, row, keys(where, same, "LAeq_dB"), working);
        const bool own = row.task && person.tasks[*row.task].wears;
        if (row.prediction) {
            work_out_prediction(plan, own ? *person.tasks[*row.task].wears : wears, row, name,
                                working);
            work_out_form(*row.prediction, name, where, same, working);
        }
        work_out_row(row, name, where, same, working);
        if (where != RowKeys::None) {
            working.push_back(StepOf("reduction of " + name, keys(where, same, "reduction_dB"),
                                     reduction_of_a_row)
                                  .value("LAeq_dB", row.outside())
                                  .value("at_ear_LAeq_dB", row.at_ear)
                                  .is(*row.outside() - *row.at_ear, "dB"));
        }
        name_topics(first, topics_of(plan, row), working);
    }
}

}  // namespace earbudget
