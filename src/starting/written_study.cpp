#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "files/ids.hpp"
#include "files/study_files.hpp"
#include "files/written_values.hpp"
#include "starting/drafted_study.hpp"

namespace earbudget::starting {

namespace {

using files::OutputFile;
using files::toml_string;

constexpr std::string_view invented = marks_invented;
constexpr std::string_view name_of_control_room = "control-room";
constexpr std::string_view name_of_bore = "beside-the-bore";

/// `key = value`, with a remark behind it where there is one.
std::string line(std::string_view key, const std::string& value, std::string_view remark = {}) {
    constexpr std::size_t column = 32;
    const std::string text = fmt::format("{} = {}", key, value);
    if (remark.empty()) return text + '\n';
    return fmt::format("{:<{}}# {}\n", text, column, visible_text(remark));
}

std::string first_lines(std::string_view kind, bool example) {
    return line("kind", toml_string(kind)) + line("format", "1") +
           (example
                ? line(files::key_of_examples, "true", "delete this line once all here is yours")
                : "");
}

std::string list_of(const std::vector<std::string>& texts) {
    std::string list;
    for (const std::string& text : texts)
        list += (list.empty() ? "" : ", ") + toml_string(text);
    return "[" + list + "]";
}

std::string card_of(const DraftedSequence& drafted) {
    const std::string card = files::write_sequence_card({.id = drafted.id,
                                                         .title = drafted.title,
                                                         .levels = *drafted.levels,
                                                         .origin = drafted.origin,
                                                         .scanner = drafted.equipment.scanner,
                                                         .software = drafted.equipment.software,
                                                         .coil = drafted.equipment.coil});
    constexpr std::string_view head = "kind = \"sequence\"\nformat = 1\n";
    const std::string remark =
        drafted.invented
            ? "# An example: nobody measured this sequence. Put your own levels here, from "
              "earbudget "
              "measure --card,\n# a report or a table; then say in [origin] where they come from, "
              "with how = \"measured\" or \"entered\".\n"
            : "# Levels at the participant's ear position, nobody protected, averaged over one "
              "run.\n";
    const bids::Equipment& by = drafted.equipment;
    const bool by_scans = !by.scanner.empty() || !by.software.empty() || !by.coil.empty();
    return remark +
           (by_scans ? "# Scanner, software and coil are those of the scans, by their sidecars.\n"
                     : "") +
           first_lines("sequence", drafted.invented) + card.substr(head.size());
}

std::string numbers_of(const OctaveAttenuation& octave, const auto& value) {
    std::string list;
    for (const OctaveBand band : octave_bands)
        if (octave.has(band)) list += (list.empty() ? "" : ", ") + value(band);
    return "[" + list + "]";
}

std::string entry_of(const DraftedProtector& drafted) {
    const Protector& protector = drafted.protector;
    std::string text = "\n";
    if (!drafted.remark.empty()) text += "# " + visible_text(drafted.remark) + "\n";
    text += "[[protector]]\n" + line("id", toml_string(protector.id)) +
            line("title", toml_string(protector.title)) +
            line("type", toml_string(name_of(protector.type)));
    const auto flag = [&](std::string_view key, const std::optional<bool>& value) {
        if (value) text += line(key, *value ? "true" : "false");
    };
    flag("fits_head_coil", protector.fits_head_coil);
    flag("metal_free", protector.metal_free);
    if (const auto& octave = protector.octave) {
        text +=
            line("frequency",
                 numbers_of(*octave, [](OctaveBand band) { return std::string(name_of(band)); }));
        text += line("mean", numbers_of(*octave, [&](OctaveBand band) {
                         return files::toml_float(octave->mean(band).dB());
                     }));
        text += line("sd", numbers_of(*octave, [&](OctaveBand band) {
                         return files::toml_float(octave->deviation(band).dB());
                     }));
    }
    for (const RatingRow& row : rating_rows)
        if (const auto& value = protector.ratings.*row.value)
            text += line(row.name, files::toml_float(value->dB()));
    return text;
}

std::string catalogue_of(const DraftedStudy& study) {
    std::string text =
        "# What your unit has to protect ears, from the makers' data sheets: mean attenuation and\n"
        "# standard deviation by octave band (best), or H, M, L and SNR, or NRR.\n" +
        first_lines("protectors", study.invented_catalogue);
    for (const DraftedProtector& protector : study.protectors)
        text += entry_of(protector);
    return text;
}

/// Which scans are runs of which card, for the next study.
std::string match_of(const std::vector<files::MatchRow>& matches) {
    if (matches.empty()) return "";
    std::string text =
        "\n[match]  # which scans are runs of which card: earbudget new --bids FOLDER --match this "
        "file\n";
    for (const files::MatchRow& row : matches) {
        const std::string id = toml_string(row.sequence);
        text += line(toml_string(row.pattern),
                     row.duration ? fmt::format("{{ sequence = {}, duration = {} }}", id,
                                                toml_string(files::written_duration(*row.duration)))
                                  : id);
    }
    return text;
}

std::string site_file(const std::vector<files::MatchRow>& matches) {
    return "# The rooms, for every plan of the unit. All levels here are invented.\n" +
           first_lines("site", true) + "\n[background]  # the bore with nothing running\n" +
           line("LAeq", "66.0", invented) + line("LCeq", "72.0", invented) +
           line("uncertainty", "5.0", invented) + "\n[[position]]\n" +
           line("id", toml_string(name_of_control_room)) +
           line("difference_dB", "-40.0", "from the participant's ear; " + std::string(invented)) +
           line("uncertainty", "5.0", invented) + "[position.background]\n" +
           line("LAeq", "45.0", invented) + line("uncertainty", "5.0", invented) +
           "\n[[position]]\n" + line("id", toml_string(name_of_bore)) +
           line("near_magnet", "true") + line("difference_dB", "-4.0", invented) +
           line("uncertainty", "3.0", invented) + match_of(matches);
}

std::string rows_of(const std::vector<DraftedRun>& timeline) {
    std::string text;
    for (const DraftedRun& run : timeline) {
        const std::string remark = run.invented ? std::string(invented) : run.remark;
        text += "[[timeline]]\n";
        if (!run.sequence.empty()) text += line("sequence", toml_string(run.sequence));
        text += line(run.sequence.empty() ? "rest" : "duration",
                     toml_string(files::written_duration(*run.duration)), remark);
        if (run.duration_from && !run.invented)
            text += line("duration_from", toml_string(duration_sources[*run.duration_from].name));
        if (run.repeat > 1)
            text += line("repeat", fmt::format("{}", run.repeat),
                         run.invented ? invented : std::string_view());
    }
    return text;
}

bool needs_place(const DraftedPerson& person) { return person.role != Role::Participant; }

std::string text_of(const DraftedPerson& person) {
    std::string text = person.invented ? "\n[[person]]  # an example\n" : "\n[[person]]\n";
    text +=
        line("id", toml_string(person.id)) + line("role", toml_string(name_of(person.role))) +
        (person.age_group ? line("age_group", toml_string(name_of(*person.age_group))) : "") +
        line("wears", list_of(person.wears), person.wears.empty() ? "nothing" : std::string_view());
    if (!needs_place(person)) return text;
    if (person.role == Role::Staff) {
        text += line("sessions_per_day", "4", invented) + line("days_per_week", "5", invented);
    }
    return text + "[[person.task]]\n" +
           line("position",
                toml_string(person.role == Role::Staff ? name_of_control_room : name_of_bore),
                "of site.toml; " + std::string(invented)) +
           line("during", "\"timeline\"");
}

bool is_example(const DraftedStudy& study, const DraftedPlan& plan) {
    return std::ranges::any_of(plan.timeline, &DraftedRun::invented) ||
           std::ranges::any_of(study.people, [](const DraftedPerson& person) {
               return person.invented || needs_place(person);
           });
}

std::string timeline_of(const DraftedPlan& plan) {
    std::string text = "\n# What runs, in order.\n";
    for (const std::string& remark : plan.about_timeline)
        text += "# " + visible_text(remark) + "\n";
    return text + rows_of(plan.timeline);
}

std::string plan_of(const DraftedStudy& study, const DraftedPlan& plan) {
    std::string text =
        "# Who hears what, and what they wear. Every key is explained in docs/files.md.\n" +
        first_lines("plan", is_example(study, plan)) +
        line("title", toml_string(plan.title.empty() ? study.title : plan.title)) +
        line("sequences", toml_string(name_of_cards), "folder of sequence cards") +
        line("protectors", toml_string(name_of_catalogue)) +
        line("site", toml_string(name_of_site), "positions and background") +
        "\n[policy]  # what your facility has decided; see docs/methods.md and docs/criteria.md\n" +
        line("method", "\"best\"", "by what is known of each protector") +
        line("derating", "\"none\"", "or \"trlv\", \"uk-4dB\", { dB = 6.0 } and others") +
        "# criteria = [\"niosh-rel\", \"iec-60601-2-33\"]  # without it those usual for each "
        "role\n" +
        timeline_of(plan);
    for (const DraftedPerson& person : study.people)
        text += text_of(person);
    return text;
}

std::string visits_of(const DraftedStudy& study, const DraftedVisits& visits) {
    const bool unknown =
        std::any_of(visits.visits.begin() + 1, visits.visits.end(),
                    [](const DraftedVisit& visit) { return !visit.days_apart.has_value(); });
    std::string who;
    for (const std::string& participant : visits.participants)
        who += (who.empty() ? "" : ", ") + participant;
    std::string text =
        "# The visits of who came several times, in their order: " + visible_text(who) + "\n" +
        first_lines("study", unknown) + line("title", toml_string(study.title));
    for (const DraftedVisit& visit : visits.visits) {
        text += "\n[[visit]]\n" + line("plan", toml_string(visit.plan)) +
                line("title", toml_string(visit.title));
        if (&visit == &visits.visits.front()) continue;
        text += line(
            "days_apart", fmt::format("{}", visit.days_apart.value_or(1)),
            visit.days_apart ? std::string_view("by acq_time, from the visit before") : invented);
    }
    return text;
}

}  // namespace

std::vector<OutputFile> files_of(const DraftedStudy& study) {
    std::vector<OutputFile> all;
    for (const DraftedPlan& plan : study.plans)
        all.push_back({plan.name, plan_of(study, plan)});
    for (const DraftedVisits& visits : study.visits)
        all.push_back({visits.name, visits_of(study, visits)});
    all.push_back({std::string(name_of_catalogue), catalogue_of(study)});
    all.push_back({std::string(name_of_site), site_file(study.matches)});
    std::set<std::string> taken;
    for (const DraftedSequence& sequence : study.sequences)
        all.push_back(
            {fmt::format("{}/{}", name_of_cards, files::file_name_of_card(sequence.id, taken)),
             card_of(sequence)});
    return all;
}

}  // namespace earbudget::starting
