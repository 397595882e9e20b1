#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "predicting/prediction.hpp"

namespace earbudget::cli {

ExitStatus run_predict(const PredictOptions& options) {
    check_output(options.output);
    waveforms::WaveformTerms terms{.repeat = options.repeat};
    if (options.rotate) terms.rotation = *waveforms::parse_rotation(*options.rotate);
    waveforms::WaveformFile file = waveforms::open_waveform(options.waveform, terms);
    check_output_is_no_input(options.output, {{options.waveform}, {}});
    const predicting::Prediction prediction = predicting::predict(file, options.rotate);
    report::Record record = record_of(options.output);
    add_input(record, prediction.waveform.file);
    deliver(in_format(
                options.output, [&] { return predicting::prediction_json(prediction, record); },
                [&] { return predicting::prediction_document(prediction, record); }),
            options.output);
    return computed;
}

}  // namespace earbudget::cli
