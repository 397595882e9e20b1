#include <algorithm>
#include <filesystem>
#include <fstream>
#include <system_error>

#include <fmt/format.h>

#include "desk/child_page.hpp"
#include "desk/frame.hpp"
#include "desk/measure_page.hpp"
#include "desk/sounds_list.hpp"
#include "desk/studies.hpp"

namespace earbudget::desk {

namespace {

namespace fs = std::filesystem;
using report::html::element;
using report::html::section;
using report::html::text;

constexpr std::string_view kind_of_predict = "predict";
constexpr int cannot_be_predicted = 422;

const OptionWords& words_of_predict() {
    static const OptionWords words = {{"repeat", "played so often"},
                                      {"rotate", "turned by"},
                                      {"response", "response of the scanner"}};
    return words;
}

std::vector<std::string> typed_of_predict() { return {"repeat", "rotate"}; }

/// The response that was chosen among those of the folder, as a file of the job; empty for none.
std::string chosen_response(const Opened& desk, const Form& form, const fs::path& folder) {
    const auto chosen = form.filled("response");
    if (!chosen) return "";
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    for (const std::string& path : sounds.list.responses) {
        if (name_below(desk, path) != *chosen) continue;
        std::ofstream(folder / "response.toml", std::ios::binary) << inputs.text(path, {path});
        return *chosen;
    }
    throw InputError({"response"},
                     fmt::format("\"{}\" is no response of this folder; accepted: one "
                                 "that is listed",
                                 *chosen));
}

Reply predict_sent(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    const auto sent = std::ranges::find(asked.uploads, "waveform", &Upload::field);
    if (sent == asked.uploads.end())
        return refused(asked, cannot_be_predicted, "Nothing was sent",
                       {"Accepted: a sequence in the open format (.seq), or a table of samples, "
                        "CSV."});
    serving::ScratchFolder folder;
    const std::string response = chosen_response(desk, asked.form, folder.path());
    fs::rename(sent->path, folder.path() / "waveform");
    JobAsked job{.kind = std::string(kind_of_predict),
                 .title = "Prediction for " + report::html::shortened(sent->name, 80),
                 .arguments = {"predict", "waveform", "--format=html"},
                 .folder = std::move(folder),
                 .kept = {{"waveform", sent->name}, {"response", response}}};
    for (std::string& option : options_filled(asked.form, typed_of_predict()))
        job.arguments.push_back(std::move(option));
    if (!response.empty())
        job.arguments.insert(job.arguments.end(),
                             {"--response=response.toml", "--card=card.toml", "--id=predicted"});
    return Reply::see("/predict/" + desk.jobs->start(desk, std::move(job)));
}

std::string what_was_sent(const Job& job) {
    report::Definitions terms{
        {{"Waveform", fmt::format("{} (here called waveform)", sent_name(job, "waveform"))}}};
    if (!sent_name(job, "response").empty())
        terms.entries.emplace_back(
            "Response of the scanner",
            fmt::format("{} (here called response.toml)", sent_name(job, "response")));
    return report::as_markup({{terms}});
}

Job prediction_asked_for(const Opened& desk, const Parts& parts) {
    if (auto job = desk.jobs->find(kind_of_predict, parts.front())) return *std::move(job);
    throw InputError({"predict"},
                     "this prediction is not kept any more; accepted: to ask for it "
                     "again");
}

Reply job_of_predicting(const Opened& desk, const Asked& asked, const Parts& parts) {
    const Job job = prediction_asked_for(desk, parts);
    if (!job.answer) return job_page(asked, job, "/measure", "");
    if (!main_of_report(job.answer->output).empty())
        return measured_page(desk, asked, job, {"/predict/", what_was_sent(job), ""});
    const Mistakes mistakes = mistakes_told(*job.answer, kind_of_predict, {}, words_of_predict());
    return framed(asked, {.here = "/measure",
                          .title = job.title,
                          .main = element("p", "wrong", "This could not be predicted.") +
                                  report::html::list_of(mistakes.others) + what_was_sent(job) +
                                  element("p", "acts", link("/measure#predict", "Again", "act"))});
}

Reply report_of_predicting(const Opened& desk, const Asked& asked, const Parts& parts) {
    const Job job = prediction_asked_for(desk, parts);
    if (job.answer && !main_of_report(job.answer->output).empty())
        return Reply::page(job.answer->output);
    return refused(asked, cannot_be_predicted, "There is no report", {"Nothing was predicted."});
}

}  // namespace

std::string predict_section(const Opened& desk, const Asked& asked) {
    files::TextInputs inputs = inputs_of(desk);
    Choice responses{
        "response", "Response of the scanner", {{"", "none: how long, large and steep alone"}}};
    const Sounds sounds = sounds_of(desk, inputs);
    for (const std::string& path : sounds.list.responses)
        responses.options.emplace_back(name_below(desk, path), name_below(desk, path));
    if (responses.options.size() > 1) responses.value = responses.options[1].first;
    const std::string fields =
        "<div class=\"field drop\" data-drop>\n<label for=\"file-waveform\">Waveform: .seq as "
        "text, "
        "or a table of samples, CSV</label>\n<input id=\"file-waveform\" name=\"waveform\" "
        "type=\"file\" required>\n</div>\n" +
        choice(responses) +
        field({.name = "repeat",
               .label = "Played so often, one after another",
               .hint = "1 when left out"}) +
        field({.name = "rotate",
               .label = "Turned to the scanner's axes",
               .hint = "as predict --rotate takes it; empty: as the file has it"});
    return section(
        "predict", 2, "Predict a sequence that has never run",
        post_form(asked, "/predict",
                  element("div", "fields", "\n" + fields) +
                      element("div", "acts", "\n" + button("Predict", {}, {}, {}, "main")),
                  "enctype=\"multipart/form-data\""));
}

std::vector<Route> predict_routes() {
    return {{"POST", "/predict", predict_sent},
            {"GET", "/predict/*", job_of_predicting},
            {"POST", "/predict/*", job_of_predicting},
            {"GET", "/predict/report/*", report_of_predicting}};
}

}  // namespace earbudget::desk
