// A table of any bytes is refused, or says of sequences, protectors and people what a study can be
// made of whose files read again as what they were written from.

#include <set>

#include "files/study_files.hpp"
#include "files/text_inputs.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/file_in_memory.hpp"
#include "fuzz/held.hpp"
#include "starting/drafted_study.hpp"
#include "tables/unit_tables.hpp"

using namespace earbudget;

namespace {

void hold_rows(const tables::UnitTables& tables) {
    for (const tables::SequenceRow& row : tables.sequences) {
        fuzz::hold(!row.id.empty() && !row.title.empty(), "a sequence has an id and a title");
        fuzz::hold(row.repeat >= 1, "a sequence runs at least once");
        fuzz::hold(row.at.line >= 2, "rows stand below the headings");
        for (const auto& time : {row.duration, row.rest_after})
            if (time) fuzz::hold(std::isfinite(time->count()) && time->count() > 0.0, "time lasts");
        if (row.levels) fuzz::hold_finite(row.levels->LAeq.dB());
    }
    std::set<std::string> ids;
    for (const tables::ProtectorRow& row : tables.protectors)
        fuzz::hold(ids.insert(row.protector.id).second, "each protector once");
}

/// What is written of the tables is read as it was meant.
void hold_files(const starting::DraftedStudy& study) {
    std::size_t cards = 0;
    for (const files::OutputFile& file : starting::files_of(study)) {
        const files::TomlTable document = files::parse_toml(file.content, file.path);
        if (file.path == starting::name_of_catalogue) {
            const Catalogue read = files::read_protector_catalogue(document, file.path);
            fuzz::hold(read.protectors.size() == study.protectors.size(),
                       "every protector is read");
        } else if (file.path.starts_with(starting::name_of_cards)) {
            const Sequence read = files::read_sequence_card(document, file.path);
            fuzz::hold(read.id == study.sequences.at(cards).id, "a card has its id");
            fuzz::hold(read.title == study.sequences.at(cards).title, "a card has its title");
            ++cards;
        }
    }
    fuzz::hold(cards == study.sequences.size(), "every sequence has a card");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {0.5, 1e-4, 16 << 20, 16384});
    const fuzz::FileInMemory file(data, size);
    fuzz::use_or_refuse([&] {
        files::TextInputs inputs;
        starting::DraftedStudy study{.title = "fuzzed"};
        static_cast<void>(files::without_mistakes([&](files::ErrorList& errors) {
            tables::UnitTables read;
            errors.attempt([&] { tables::read_table(file.path(), inputs, read, errors); });
            if (errors.empty()) hold_rows(read);
            starting::add_tables(read, study, errors);
            return 0;
        }));
        starting::add_examples(study);
        hold_files(study);
    });
    return 0;
}
