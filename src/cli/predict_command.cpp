#include <filesystem>

#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "files/study_files.hpp"
#include "predicting/prediction.hpp"

namespace earbudget::cli {

namespace {

void check_usage(const PredictOptions& options) {
    if (options.card && !options.response) {
        throw UsageProblem(
            "earbudget predict: --card needs --response; accepted: both, since a card states a "
            "level");
    }
    if (options.vary && !options.response) {
        throw UsageProblem(
            "earbudget predict: --vary needs --response; accepted: both, since it draws a level");
    }
    if (!options.card && !(options.card_id.empty() && options.card_title.empty())) {
        throw UsageProblem(
            "earbudget predict: --id and --title are for a card; accepted: --card "
            "FILE with them");
    }
    if (options.card && !files::is_read_in_folder(*options.card)) {
        throw UsageProblem(fmt::format(
            "earbudget predict: --card \"{}\" would not be found among the cards of its folder; "
            "accepted: a file name that ends in .toml and does not begin with a dot",
            *options.card));
    }
}

void check_outputs(const PredictOptions& options) {
    check_output(options.output);
    files::ReadBefore inputs{{options.waveform}, {}};
    if (options.response) inputs.files.push_back(*options.response);
    check_output_is_no_input(options.output, inputs);
    if (!options.card) return;
    files::check_can_write(*options.card, options.output.force);
    files::check_is_no_input(*options.card, inputs);
    if (options.output.file) files::check_all_different({*options.output.file, *options.card});
}

std::optional<predicting::ReadResponse> response_of(const PredictOptions& options) {
    if (!options.response) return std::nullopt;
    files::TextInputs inputs;
    predicting::ReadResponse read{{*options.response, {}},
                                  responses::read_response(*options.response, inputs)};
    read.file.sha256 = inputs.sha256(*options.response);
    return read;
}

std::string card_of(const predicting::Prediction& prediction, const PredictOptions& options,
                    const std::string& date) {
    std::string id = options.card_id;
    if (id.empty()) id = std::filesystem::path(*options.card).stem().string();
    return files::write_sequence_card(
        predicting::predicted_card(prediction, id, options.card_title, date));
}

}  // namespace

ExitStatus run_predict(const PredictOptions& options) {
    check_usage(options);
    check_outputs(options);
    auto response = response_of(options);
    waveforms::WaveformTerms terms{.repeat = options.repeat};
    if (options.rotate) terms.rotation = *waveforms::parse_rotation(*options.rotate);
    waveforms::WaveformFile file = waveforms::open_waveform(options.waveform, terms);
    predicting::Prediction prediction =
        predicting::predict(file, options.rotate, std::move(response));
    if (options.vary) {
        prediction.varied = predicting::vary(file.source(), prediction.sound->response.response,
                                             *predicting::parse_vary(*options.vary));
        if (!prediction.varied->has_stretched)
            prediction.notes.push_back({"nothing-stretched",
                                        predicting::quieter_words(*prediction.varied),
                                        {prediction.waveform.file.path}});
    }
    if (options.card) {
        if (auto note = predicting::note_of_card(prediction)) prediction.notes.push_back(*note);
    }
    report::Record record = record_of(options.output);
    add_input(record, prediction.waveform.file);
    if (prediction.sound) add_input(record, prediction.sound->file);
    std::vector<files::OutputFile> others;
    if (options.card) others.push_back({*options.card, card_of(prediction, options, record.date)});
    deliver(in_format(
                options.output, [&] { return predicting::prediction_json(prediction, record); },
                [&] { return predicting::prediction_document(prediction, record); }),
            options.output, std::move(others));
    return prediction.sound && !prediction.sound->levels.LAeq ? over_or_unknown : computed;
}

}  // namespace earbudget::cli
