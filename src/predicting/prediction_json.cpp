#include "predicting/prediction.hpp"
#include "report/cautions.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::predicting {

namespace {

struct PredictionReport {
    const Prediction& prediction;
    const report::Record& record;
};

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
             {"seconds", [](const Of& of) { return of.figures.duration; }, "with all repetitions"},
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
FieldTable<predicting::PredictionReport> describe() {
    using Of = predicting::PredictionReport;
    return {"predict.schema.json",
            "earbudget predict --format json: what is known of a sequence that has never run",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("predict"),
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {"waveform", [](const Of& of) { return of.prediction.waveform; }},
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
