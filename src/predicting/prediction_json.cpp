#include "predicting/prediction.hpp"
#include "report/cautions.hpp"
#include "report/shared_fields.hpp"
#include "report/third_octave_fields.hpp"

namespace earbudget::predicting {

namespace {

struct PredictionReport {
    const Prediction& prediction;
    const report::Record& record;
};

struct LevelsOfReport {
    const PredictedSound& sound;
};

struct UncoveredOfReport {
    const PredictedSound& sound;
};

std::optional<WorstOrientation> worst_of(const Prediction& prediction) {
    if (!prediction.sound || prediction.waveform.rotated_by) return std::nullopt;
    return prediction.sound->levels.worst;
}

AxisVector scaled(const AxisVector& vector, double factor) {
    return {vector[0] * factor, vector[1] * factor, vector[2] * factor};
}

}  // namespace

}  // namespace earbudget::predicting

namespace earbudget::report {

template <>
FieldTable<ReadingNote> describe() {
    using Of = ReadingNote;
    return {{{"code", &Of::code},
             {"text", &Of::text},
             {"where", [](const Of& of) { return of.where.text(); }, "FILE:LINE:COLUMN"}}};
}

template <>
FieldTable<predicting::PlayedWaveform> describe() {
    using Of = predicting::PlayedWaveform;
    using predicting::scaled;
    return {{{members_of, &Of::file},
             {"format_version", &Of::format_version,
              "of the open sequence format; null for a table of samples"},
             {"repeat", &Of::repeat, "how often it is played, one after another", at_least(1.0)},
             {"rotated_by", &Of::rotated_by, "as --rotate has it; null without"},
             {"seconds",
              [](const Of& of) { return of.figures.duration; },
              "with all repetitions",
              {.decimals = 9}},
             {"duration_is_lower_bound",
              [](const Of& of) { return of.figures.duration_is_lower_bound; },
              "it waits for a trigger and may last longer"},
             {"largest_gradient_mT_per_m",
              [](const Of& of) { return scaled(of.figures.largest_gradient, 1e3); },
              "magnitudes on x, y, z",
              {.min = 0.0, .decimals = 6}},
             {"largest_slew_T_per_m_s",
              [](const Of& of) { return of.figures.largest_slew; },
              "magnitudes on x, y, z",
              {.min = 0.0, .decimals = 6}},
             {"rms_slew_T_per_m_s",
              [](const Of& of) { return of.figures.rms_slew; },
              "root mean square over all of it, on x, y, z",
              {.min = 0.0, .decimals = 6}}}};
}

template <>
FieldTable<PredictedTone> describe() {
    using Of = PredictedTone;
    return {{{"Hz", &Of::frequency, {.decimals = 2}},
             {"level_dB", &Of::level, "unweighted", {.decimals = 2}},
             {"harmonic", &Of::harmonic,
              "1 for the fundamental, 2 and more for its multiples; 0: of no series"}}};
}

template <>
FieldTable<WorstOrientation> describe() {
    using Of = WorstOrientation;
    return {{{"LAeq_dB", &Of::LAeq, {.decimals = 2}},
             {"rotation",
              [](const Of& of) {
                  std::vector<double> numbers;
                  for (const AxisVector& row : of.rotation.rows())
                      numbers.insert(numbers.end(), row.begin(), row.end());
                  return numbers;
              },
              "the nine numbers of its matrix, rows first, as --rotate takes them",
              {.min = -1.0, .max = 1.0, .decimals = 4}}}};
}

template <>
FieldTable<predicting::LevelsOfReport> describe() {
    using Of = predicting::LevelsOfReport;
    return {{{"LAeq_dB",
              [](const Of& of) { return of.sound.levels.LAeq; },
              "over the whole sequence; null where the response tells nothing of it",
              {.decimals = 3}},
             {"LCeq_dB", [](const Of& of) { return of.sound.levels.LCeq; }, {.decimals = 3}},
             {"octave_dB", [](const Of& of) { return all_bands(of.sound.levels.octave); },
              by_octave_band(3)},
             {"octave_A_dB", [](const Of& of) { return all_bands(of.sound.levels.octave_A); },
              by_octave_band(3)},
             {"third_octave_dB",
              [](const Of& of) { return all_third_octaves(of.sound.levels.third_octave); },
              by_third_octave_band(3)},
             {"uncertainty_dB",
              [](const Of& of) { return of.sound.levels.uncertainty; },
              "standard uncertainty (k = 1) of LAeq: the response's, more where narrow resonances "
              "sound, and at least half of what is not covered could add",
              {.min = 0.0, .decimals = 2}},
             {"third_octave_uncertainty_dB",
              [](const Of& of) {
                  return all_third_octaves(of.sound.response.response.uncertainty.third_octave);
              },
              by_third_octave_band(2)},
             {"LAeq_in_phase_dB",
              [](const Of& of) { return of.sound.levels.LAeq_in_phase; },
              "where axes' phases belong to different times and energies were added: if they came "
              "in phase; null elsewhere",
              {.decimals = 3}},
             {"LAeq_of_axis_dB",
              [](const Of& of) { return of.sound.levels.of_axis; },
              "if x, y or z sounded alone; null where it does not",
              {.decimals = 3}},
             {"LAeq_of_seconds_dB",
              [](const Of& of) { return of.sound.levels.seconds; },
              "of each second; null for silence",
              {.decimals = 2}},
             {"fundamental_Hz",
              [](const Of& of) { return of.sound.levels.fundamental; },
              {.decimals = 2}},
             {"tones", [](const Of& of) { return of.sound.levels.tones; }}}};
}

template <>
FieldTable<predicting::UncoveredOfReport> describe() {
    using Of = predicting::UncoveredOfReport;
    return {
        {{"energy_percent",
          [](const Of& of) { return of.sound.levels.uncovered.energy_percent; },
          "of the A-weighted energy of the gradients' slew, what meets frequencies at which the "
          "axis' response is unknown",
          {.min = 0.0, .max = 100.0, .decimals = 3}},
         {"LAeq_at_most_dB",
          [](const Of& of) { return of.sound.levels.uncovered.LAeq_at_most; },
          "if all of it were as loud as the loudest known of its axis within an octave, else of "
          "all "
          "axes there, else of all that is known, and all that has no common time came in phase; "
          "null without any response",
          {.decimals = 3}},
         {"third_octaves",
          [](const Of& of) {
              return each_of(of.sound.levels.uncovered.third_octaves,
                             [](std::size_t band) { return third_octave_names[band]; });
          },
          "bands in which more than a tenth is not covered"}}};
}

template <>
FieldTable<predicting::VariedLevel> describe() {
    using Of = predicting::VariedLevel;
    return {{{"scale", &Of::scale, {.above = 0.0, .decimals = 4}},
             {"LAeq_dB", &Of::LAeq, {.decimals = 3}},
             {"strongest_Hz",
              &Of::strongest,
              "where the slew is strongest, A-weighted",
              {.decimals = 1}}}};
}

template <>
FieldTable<predicting::QuieterScale> describe() {
    using Of = predicting::QuieterScale;
    return {{{"scale", &Of::scale, {.above = 0.0, .decimals = 4}},
             {"less_dB", &Of::by, "than as the file has it", {.above = 0.0, .decimals = 2}}}};
}

template <>
FieldTable<predicting::Resonance> describe() {
    using Of = predicting::Resonance;
    return {{{"axis",
              [](const Of& of) { return std::string_view(&"xyz"[of.axis], 1); },
              {.one_of = "x y z"}},
             {"Hz", &Of::frequency, {.decimals = 1}},
             {"Pa_per_T_per_m", &Of::Pa_per_T_per_m, {.min = 0.0, .decimals = 3}}}};
}

template <>
FieldTable<predicting::Varied> describe() {
    using Of = predicting::Varied;
    return {{{"of",
              [](const Of& of) {
                  return of.request.stretch == TimingChange::Time
                             ? std::string_view("time")
                             : std::string_view("echo-spacing");
              },
              "time: everything lasts longer; echo-spacing: plateaus of gradients alone",
              {.one_of = "time echo-spacing"}},
             {"levels", &Of::levels, "by rising scale; 1 is the file as it is"},
             {"quieter", &Of::quieter,
              "scales at which it would be at least 1 dB quieter and "
              "quieter than around them, the quietest first"},
             {"resonances", &Of::resonances, "the loudest three of each axis"},
             {"listened_s", &Of::listened,
              "so much of the file, at most; the same part of it at each scale"},
             {"caution", [](const Of&) { return predicting::caution_on_varying; }}}};
}

template <>
FieldTable<predicting::PredictionReport> describe() {
    using Of = predicting::PredictionReport;
    return {"predict.schema.json",
            "earbudget predict --format json: what is known of a sequence that has never run",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("predict"),
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {"waveform", [](const Of& of) { return of.prediction.waveform; }},
             {"response",
              [](const Of& of) {
                  return if_any(of.prediction.sound, [](const auto& sound) { return sound.file; });
              },
              "by which levels are predicted; null without --response"},
             {"levels",
              [](const Of& of) {
                  return if_any(of.prediction.sound, [](const auto& sound) {
                      return predicting::LevelsOfReport{sound};
                  });
              },
              "null without --response"},
             {"uncovered",
              [](const Of& of) {
                  return if_any(of.prediction.sound, [](const auto& sound) {
                      return predicting::UncoveredOfReport{sound};
                  });
              },
              "what the response does not tell of; null without --response"},
             {"worst_orientation", [](const Of& of) { return predicting::worst_of(of.prediction); },
              "the orientation in which it would be loudest, looked for where --rotate says "
              "nothing and all gradients may turn; null elsewhere"},
             {"varied", [](const Of& of) { return of.prediction.varied; },
              "with --vary: the level over a scale of the timing; null without"},
             {"warnings", [](const Of& of) { return of.prediction.notes; },
              "what could be otherwise than it looks"},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report

namespace earbudget::predicting {

std::string prediction_json(const Prediction& prediction, const report::Record& record) {
    return report::json_of(PredictionReport{prediction, record});
}

const report::ObjectShape& prediction_shape() { return report::object_shape<PredictionReport>(); }

}  // namespace earbudget::predicting
