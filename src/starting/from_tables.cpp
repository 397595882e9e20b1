#include <algorithm>
#include <filesystem>

#include <fmt/format.h>

#include "earbudget/study/catalogue.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/ids.hpp"
#include "files/text_inputs.hpp"
#include "files/written_values.hpp"
#include "report/words/words.hpp"
#include "starting/drafted_study.hpp"

namespace earbudget::starting {

namespace {

using tables::PersonRow;
using tables::SequenceRow;

/// Each card is a file that is kept open until all are in their places. Own choice.
constexpr std::size_t most_cards_drafted = 400;

/// "sequences.csv, row 3".
std::string place_in_table(const SourcePosition& at) {
    return fmt::format("{}, row {}",
                       visible_text(std::filesystem::path(at.file.text()).filename().string()),
                       at.line);
}

bool are_same(const SoundLevels& a, const SoundLevels& b) {
    const auto same_bands = [&](OctaveBand band) { return a.octave.at(band) == b.octave.at(band); };
    return a.LAeq == b.LAeq && a.LCeq == b.LCeq && a.LCpeak == b.LCpeak && a.LZpeak == b.LZpeak &&
           a.uncertainty == b.uncertainty && std::ranges::all_of(octave_bands, same_bands);
}

/// Another row of a sequence that is there already is another run of it.
void add_sequence(const SequenceRow& row, DraftedStudy& study, files::ErrorList& errors) {
    const auto known = std::ranges::find(study.sequences, row.id, &DraftedSequence::id);
    if (known == study.sequences.end()) {
        study.sequences.push_back({.id = row.id, .title = row.title, .levels = row.levels});
        if (row.levels)
            study.sequences.back().origin = {.how = "entered", .table = place_in_table(row.at)};
    } else if (known->title != row.title) {
        errors.add({row.at, fmt::format("the id \"{}\" stands twice, also for \"{}\"; accepted: a "
                                        "column \"id\" with another id for each sequence",
                                        row.id, known->title)});
    } else if (row.levels && (!known->levels || !are_same(*row.levels, *known->levels))) {
        errors.add(
            {row.at, fmt::format("\"{}\" stands twice, with other levels; accepted: the same "
                                 "levels, or none, for another run of it, else another id",
                                 row.id)});
    }
    DraftedRun run{.sequence = row.id, .duration = row.duration, .repeat = row.repeat};
    run.remark = place_in_table(row.at);
    study.plans.front().timeline.push_back(std::move(run));
    if (row.rest_after)
        study.plans.front().timeline.push_back(
            {.duration = row.rest_after, .remark = place_in_table(row.at)});
}

/// What people write for a protector of the catalogue: its id or its title; none where it is none.
const Protector* named(const Catalogue& catalogue, const std::string& name) {
    if (const CatalogueEntry* entry = catalogue.find(name)) return &entry->protector;
    const std::string small = files::in_small_letters(name);
    const Protector* found = nullptr;
    for (const CatalogueEntry& entry : catalogue.protectors) {
        if (files::in_small_letters(entry.protector.title) != small &&
            files::in_small_letters(entry.protector.id) != small)
            continue;
        if (found) return nullptr;
        found = &entry.protector;
    }
    return found;
}

std::vector<std::string> worn_by(const PersonRow& row, const Catalogue& catalogue,
                                 files::ErrorList& errors) {
    std::vector<std::string> worn;
    for (const std::string& name : row.wears) {
        if (const Protector* protector = named(catalogue, name)) {
            worn.push_back(protector->id);
        } else {
            errors.add(files::unknown_id("protector", {name, row.wears_at}, catalogue.ids(),
                                         "there are no protectors"));
        }
    }
    if (worn.size() != row.wears.size()) return {};
    if (const Message why = cannot_be_worn_together(catalogue, worn); !why.empty())
        errors.add({row.wears_at, text_of(why)});
    return worn;
}

void check_numbers(const tables::UnitTables& tables, const DraftedStudy& study,
                   files::ErrorList& errors) {
    const std::size_t rows = study.plans.front().timeline.size();
    const auto check = [&](std::size_t number, std::size_t most, std::string_view what,
                           const SourcePosition& at) {
        if (number > most)
            errors.add({at, fmt::format("{} {}; accepted: at most {}", number, what, most)});
    };
    if (!tables.sequences.empty()) {
        check(study.sequences.size(), most_cards_drafted, "sequences", tables.sequences.back().at);
        check(rows, files::most_timeline_rows, "runs and rests", tables.sequences.back().at);
    }
    if (!tables.protectors.empty())
        check(tables.protectors.size(), files::most_protectors, "protectors",
              tables.protectors.back().at);
    if (!tables.people.empty())
        check(tables.people.size() * rows, files::most_exposure_rows, "people times runs and rests",
              tables.people.back().wears_at);
}

}  // namespace

void add_tables(const tables::UnitTables& tables, DraftedStudy& study, files::ErrorList& errors) {
    const bool all_rows = errors.empty();
    for (const SequenceRow& row : tables.sequences)
        add_sequence(row, study, errors);
    for (const auto& [protector, at] : tables.protectors)
        study.protectors.push_back({protector, "Entered from " + place_in_table(at) + "."});
    Catalogue catalogue;
    for (const DraftedProtector& one :
         study.protectors.empty() ? example_protectors() : study.protectors)
        catalogue.protectors.push_back({one.protector});
    for (const PersonRow& row : tables.people) {
        DraftedPerson person{.id = row.id, .role = row.role};
        person.age_group = row.age_group;
        // Of a table with mistakes nobody knows which protectors there are.
        if (all_rows) person.wears = worn_by(row, catalogue, errors);
        study.people.push_back(std::move(person));
    }
    study.notes.insert(study.notes.end(), tables.notes.begin(), tables.notes.end());
    study.taken_as = tables.notes;
    check_numbers(tables, study, errors);
}

}  // namespace earbudget::starting
