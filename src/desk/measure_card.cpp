#include <filesystem>

#include <fmt/format.h>

#include "desk/child_page.hpp"
#include "desk/frame.hpp"
#include "desk/measure_page.hpp"
#include "desk/sounds_cards.hpp"
#include "desk/studies.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/study_files.hpp"

namespace earbudget::desk {

namespace {

namespace fs = std::filesystem;
using report::html::element;
using report::html::section;
using report::html::text;

/// So much of a report stands in the page of a measurement; a longer one is a page of its own. Own
/// choice, for pages of 150 kB.
constexpr std::size_t longest_report_within = 80'000;

/// Only the first section, which has the levels and what was found.
std::string first_section(const std::string& report) {
    constexpr std::string_view end = "</section>\n";
    const std::size_t at = report.find(end);
    return at == std::string::npos ? std::string() : report.substr(0, at + end.size());
}

/// A text on a card that begins with the name that a file has here, as it was sent.
void name_as_sent(std::string& words, std::string_view here, const std::string& sent) {
    if (!sent.empty() && words.starts_with(here)) words.replace(0, here.size(), visible_text(sent));
}

/// Under which the new card is offered.
void offer_names(const Job& job, Typed& values) {
    const std::string& sent = sent_name(job, "recording");
    const std::string stem =
        fs::path(visible_text(sent.empty() ? sent_name(job, "waveform") : sent)).stem().string();
    values["id"] = stem;
    values["title"] = stem;
}

std::string save_form(const Opened& desk, const Asked& asked, const std::string& action,
                      const CardDraft& draft) {
    return checked_form(
        asked, action,
        card_fieldsets(draft.state) + folder_choice(desk, asked.form) +
            outcome_part(draft.state, "The card reads without mistakes and can be saved."),
        "Save the card");
}

}  // namespace

std::string card_of_job(const Job& job) {
    const std::string path = (job.folder->path() / "card.toml").string();
    std::error_code missing;
    if (!fs::is_regular_file(path, missing)) return "";
    Sequence card = files::read_sequence_card(path);
    name_as_sent(card.origin.recording, "recording", sent_name(job, "recording"));
    constexpr std::string_view from_waveform = "none: predicted from the waveform ";
    if (card.origin.recording.starts_with(from_waveform))
        card.origin.recording =
            std::string(from_waveform) + visible_text(sent_name(job, "waveform"));
    if (const std::string& response = sent_name(job, "response"); !response.empty())
        if (const std::string here = "response response.toml";
            card.origin.calibration.starts_with(here))
            card.origin.calibration.replace(0, here.size(), "response " + response);
    name_as_sent(card.origin.background, "background", sent_name(job, "background"));
    return files::write_sequence_card(card);
}

Reply measured_page(const Opened& desk, const Asked& asked, const Job& job, const AboutJob& about) {
    constexpr int has_mistakes = 422;
    const std::string report = main_of_report(job.answer->output);
    const bool fits = report.size() <= longest_report_within;
    const std::string base = card_of_job(job);
    std::string links =
        "\n" + link(fmt::format("{}report/{}", about.address, job.name), "Whole report", "act") +
        "\n";
    if (!base.empty()) links += link("#save", "Save the card", "act") + "\n";
    std::string main = about.sent + element("p", "acts", links) +
                       report::html::list_of(notes_told(*job.answer)) +
                       (fits ? report : first_section(report));
    if (!fits)
        main += element("p",
                        "It was a long recording: the course and all else stand in the whole "
                        "report.");
    int status = 200;
    if (!base.empty()) {
        const std::string path = desk.folder + "/new-card.toml";
        Form offered;
        if (!asked.is_post()) {
            Typed names;
            offer_names(job, names);
            for (const auto& [name, value] : names)
                offered.add(name, value);
        }
        const Form& typed = asked.is_post() ? asked.form : offered;
        CardDraft draft = card_draft(desk, path, base, &typed, true);
        const std::string place = new_card_path(desk, typed, draft);
        if (is_to_save(asked)) {
            if (draft.card && draft.state.mistakes.none())
                return save_new_card(desk, *draft.card, place);
            status = has_mistakes;
        }
        main +=
            section("bands-of-card", 2, "Levels as the card has them", draft_levels(draft)) +
            section("save", 2, "Save the card",
                    save_form(desk, asked, fmt::format("{}{}", about.address, job.name), draft));
    }
    main += about.again;
    return framed(asked, {.here = "/measure", .title = job.title, .main = main}, status);
}

}  // namespace earbudget::desk
