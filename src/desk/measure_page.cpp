#include "desk/measure_page.hpp"

#include <algorithm>
#include <filesystem>
#include <system_error>

#include <fmt/format.h>

#include "desk/child_page.hpp"
#include "desk/frame.hpp"
#include "earbudget/study/input_error.hpp"

namespace earbudget::desk {

namespace {

namespace fs = std::filesystem;
using report::html::element;
using report::html::escaped;
using report::html::section;
using report::html::text;

constexpr int cannot_be_measured = 422;

/// What `measure` is asked, with the files of that folder.
JobAsked measuring_of(const Form& form, serving::ScratchFolder folder,
                      std::vector<std::pair<std::string, std::string>> names) {
    JobAsked job{.kind = std::string(kind_of_measure),
                 .title = "Levels of " + report::html::shortened(names.front().second, 80),
                 .arguments = {"measure", "recording", "--format=html"},
                 .folder = std::move(folder),
                 .kept = std::move(names)};
    for (const MeasuredFile& file : measured_files)
        if (file.field != "recording" && fs::exists(job.folder->path() / file.name))
            job.arguments.push_back(option_with(file.field, file.name));
    for (std::string& option : options_filled(form, measure_texts()))
        job.arguments.push_back(std::move(option));
    for (const auto& [name, words] : measure_ticks)
        if (form.has(name) && name != "levels-alone")
            job.arguments.push_back(fmt::format("--{}", name));
    if (!form.has("find-runs") && !form.has("levels-alone"))
        job.arguments.insert(job.arguments.end(), {"--card=card.toml", "--id=measured"});
    for (const auto& [name, value] : form.fields())
        if (name != "token") job.kept.emplace_back("field:" + name, value);
    return job;
}

/// What was typed for a measurement, to be typed over once more.
Form typed_for(const Job& job) {
    Form form;
    constexpr std::string_view begin = "field:";
    for (const auto& [name, value] : job.kept)
        if (name.starts_with(begin)) form.add(name.substr(begin.size()), value);
    return form;
}

FormState measure_state(const Form& form, Mistakes mistakes) {
    FormState state{.fields = {}, .mistakes = std::move(mistakes)};
    for (const std::string& name : measure_texts())
        state.values[name] = form.get(name);
    return state;
}

std::string measure_form(const Asked& asked, const Form& typed, const Mistakes& mistakes) {
    return post_form(asked, "/measure",
                     measure_fields(measure_state(typed, mistakes), typed, false),
                     "enctype=\"multipart/form-data\"");
}

Reply measure_start_page(const Opened& desk, const Asked& asked, const Form& typed,
                         const Mistakes& mistakes) {
    std::string main =
        element("p",
                "A recording and the tone of a calibrator, made with the same gain, become "
                "the levels of a sequence and its card. The files stay on this machine and go "
                "when the desk ends.") +
        report::html::list_of(mistakes.others, "wrong") +
        section("measure", 2, "Measure a recording", measure_form(asked, typed, mistakes)) +
        predict_section(desk, asked);
    return framed(asked, {.here = "/measure", .title = "Measure and predict", .main = main},
                  mistakes.none() ? 200 : cannot_be_measured);
}

Reply measure_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    return measure_start_page(desk, asked, {}, {});
}

/// The files that were sent, by their names here, into a folder that lasts as long as the job.
std::vector<std::pair<std::string, std::string>> moved_files(const Asked& asked,
                                                             const fs::path& folder) {
    std::vector<std::pair<std::string, std::string>> names;
    for (const MeasuredFile& file : measured_files) {
        const auto sent = std::ranges::find(asked.uploads, file.field, &Upload::field);
        if (sent == asked.uploads.end()) continue;
        fs::rename(sent->path, folder / file.name);
        names.emplace_back(file.field, sent->name.empty() ? std::string(file.name) : sent->name);
    }
    return names;
}

Reply measure_sent(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    Mistakes mistakes;
    const auto recording = std::ranges::find(asked.uploads, "recording", &Upload::field);
    if (recording == asked.uploads.end())
        mistakes.at["recording"] =
            "no file was sent; accepted: a sound file (WAV, FLAC, AIFF and "
            "others)";
    if (!mistakes.none()) return measure_start_page(desk, asked, asked.form, mistakes);
    serving::ScratchFolder folder;
    auto names = moved_files(asked, folder.path());
    return Reply::see(
        "/measure/" +
        desk.jobs->start(desk, measuring_of(asked.form, std::move(folder), std::move(names))));
}

/// A measurement that is still kept. Throws InputError for any other.
Job job_asked_for(const Opened& desk, const Parts& parts) {
    if (auto job = desk.jobs->find(kind_of_measure, parts.front())) return *std::move(job);
    throw InputError({"measure"},
                     "this measurement is not kept any more; accepted: to measure the "
                     "recording again");
}

/// The same files with other values.
Reply measure_again(const Opened& desk, const Asked& asked, const Parts& parts) {
    const Job job = job_asked_for(desk, parts);
    serving::ScratchFolder folder;
    std::vector<std::pair<std::string, std::string>> names;
    for (const MeasuredFile& file : measured_files) {
        if (sent_name(job, file.field).empty()) continue;
        fs::create_hard_link(job.folder->path() / file.name, folder.path() / file.name);
        names.emplace_back(file.field, sent_name(job, file.field));
    }
    return Reply::see(
        "/measure/" +
        desk.jobs->start(desk, measuring_of(asked.form, std::move(folder), std::move(names))));
}

/// For who never saw the command line.
OptionWords words_of_options() {
    OptionWords words = {{"calibrator-level", "level of the calibrator"},
                         {"full-scale-level", "level of a full-scale sine"},
                         {"sensitivity", "sensitivity of the microphone"},
                         {"full-scale-volts", "peak volts at full scale"},
                         {"instrument-class", "class of the instrument"},
                         {"channel", "channel"},
                         {"from", "from"},
                         {"to", "to"}};
    for (const MeasuredFile& file : measured_files)
        words.emplace_back(file.field, file.words);
    for (const auto& [name, said] : measure_ticks)
        words.emplace_back(name, said);
    return words;
}

std::string again_form(const Asked& asked, const Job& job, const Mistakes& mistakes) {
    Form typed = typed_for(job);
    // Where no card can be written there may be levels all the same.
    const bool no_card = std::ranges::any_of(mistakes.others, [](const std::string& words) {
        return words.find("no card can be written") != std::string::npos;
    });
    if (no_card) typed.add("levels-alone", "yes");
    const std::string form = post_form(asked, "/measure/again/" + job.name,
                                       measure_fields(measure_state(typed, mistakes), typed, true));
    return mistakes.none()
               ? "<details id=\"again\">\n<summary>Measure the same recordings again with other "
                 "values</summary>\n" +
                     form + "</details>\n"
               : section("again", 2, "Measure the same recordings again with other values", form);
}

std::string files_sent(const Job& job) {
    report::Definitions terms;
    for (const MeasuredFile& file : measured_files)
        if (!sent_name(job, file.field).empty())
            terms.entries.emplace_back(
                std::string(file.words),
                fmt::format("{} (here called {})", sent_name(job, file.field), file.name));
    return report::as_markup({{terms}});
}

Reply job_of_measuring(const Opened& desk, const Asked& asked, const Parts& parts) {
    const Job job = job_asked_for(desk, parts);
    if (!job.answer) return job_page(asked, job, "/measure", "");
    const std::string report = main_of_report(job.answer->output);
    if (!report.empty())
        return measured_page(desk, asked, job,
                             {"/measure/", files_sent(job), again_form(asked, job, {})});
    std::vector<std::string> options = measure_texts();
    for (const MeasuredFile& file : measured_files)
        options.emplace_back(file.field);
    for (const auto& [name, words] : measure_ticks)
        options.emplace_back(name);
    const Mistakes mistakes = mistakes_told(*job.answer, "measure", options, words_of_options());
    return framed(asked,
                  {.here = "/measure",
                   .title = job.title,
                   .main = element("p", "wrong", "This could not be measured.") +
                           report::html::list_of(mistakes.others) + files_sent(job) +
                           again_form(asked, job, mistakes)},
                  200);
}

Reply report_of_measuring(const Opened& desk, const Asked& asked, const Parts& parts) {
    const Job job = job_asked_for(desk, parts);
    if (job.answer && !main_of_report(job.answer->output).empty())
        return Reply::page(job.answer->output);
    return refused(asked, cannot_be_measured, "There is no report", {"Nothing was measured."});
}

std::string file_field(const MeasuredFile& file, const FormState& state) {
    const bool needed = file.field == "recording";
    const std::string& wrong = state.mistakes.of(std::string(file.field));
    return fmt::format(
        "<div class=\"field drop\" data-drop>\n<label for=\"file-{0}\">{1}</label>\n"
        "<input id=\"file-{0}\" name=\"{0}\" type=\"file\" "
        "aria-describedby=\"file-{0}-wrong\"{2}>\n"
        "<span class=\"wrong\" id=\"file-{0}-wrong\">{3}</span>\n</div>\n",
        file.field, text(file.words), needed ? " required" : "", wrong.empty() ? "" : text(wrong));
}

std::string ticks_of(const FormState& state, const Form& ticked) {
    std::string boxes;
    for (const auto& [name, words] : measure_ticks) {
        boxes += fmt::format(
            "<label class=\"box\"><input type=\"checkbox\" name=\"{0}\" "
            "value=\"yes\"{1}> {2}</label>\n",
            name, ticked.has(name) ? " checked" : "", text(words));
        if (const std::string& wrong = state.mistakes.of(std::string(name)); !wrong.empty())
            boxes += element("span", "wrong", text(wrong));
    }
    return boxes;
}

}  // namespace

const std::vector<std::string>& measure_texts() {
    static const std::vector<std::string> names = {
        "calibrator-level", "full-scale-level", "sensitivity", "full-scale-volts",
        "instrument-class", "channel",          "from",        "to"};
    return names;
}

std::string measure_fields(const FormState& state, const Form& ticked, bool again) {
    std::string files;
    for (const MeasuredFile& file : measured_files)
        if (!again) files += file_field(file, state);
    const auto set = [](std::string_view legend, const std::string& fields) {
        return fmt::format(
            "<fieldset>\n<legend>{}</legend>\n<div class=\"fields\">\n{}</div>\n"
            "</fieldset>\n",
            legend, fields);
    };
    const auto typed = [&](const char* name, std::string_view label, std::string_view hint = {}) {
        return live_field(name, label, state, hint);
    };
    Choice classes{"instrument-class",
                   "Class of the instrument (IEC 61672-1:2013)",
                   {{"", "not stated"}, {"1", "1"}, {"2", "2"}},
                   state.values.contains("instrument-class") ? state.values.at("instrument-class")
                                                             : std::string()};
    return (again ? std::string() : set("Files: choose them, or drop each on its field", files)) +
           set("How the decibels come about: one of three ways",
               typed("calibrator-level", "By the tone: level of the calibrator, dB",
                     "94 or 114, as it says") +
                   typed("full-scale-level", "Or: level of a full-scale sine, dB") +
                   typed("sensitivity", "Or: sensitivity of the microphone, mV/Pa") +
                   typed("full-scale-volts", "with peak volts at full scale")) +
           set("What of it is measured",
               typed("from", "From", "seconds, \"1 min 20 s\" or 00:01:20; empty: the beginning") +
                   typed("to", "To", "empty: the end") +
                   typed("channel", "Channel", "from 1; empty: all") + choice(classes)) +
           ticks_of(state, ticked) +
           element("div", "acts",
                   "\n" + button(again ? "Measure again" : "Measure", {}, {}, {}, "main"));
}

const std::string& sent_name(const Job& job, std::string_view field) {
    static const std::string none;
    const auto found =
        std::ranges::find(job.kept, field, &std::pair<std::string, std::string>::first);
    return found == job.kept.end() ? none : found->second;
}

std::vector<Route> measure_routes() {
    return {{"GET", "/measure", measure_page},
            {"POST", "/measure", measure_sent},
            {"GET", "/measure/*", job_of_measuring},
            {"POST", "/measure/*", job_of_measuring},
            {"POST", "/measure/again/*", measure_again},
            {"GET", "/measure/report/*", report_of_measuring}};
}

}  // namespace earbudget::desk
