#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "records/entry_words.hpp"
#include "records/register_copy.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

report::Table entries_table(const CopyReport& report) {
    report::Table table{.name = "Entries",
                        .columns = {{.key = "entry", .title = "entry", .decimals = 0},
                                    {.key = "from", .title = "when", .number = false},
                                    {.key = "session", .title = "session", .decimals = 0},
                                    {.key = "kind", .title = "what", .number = false},
                                    {.key = "body", .title = "in words", .number = false}}};
    sessions::RecordCache cache;
    for (const registers::Entry& entry : report.copy.entries) {
        const auto session = entry.session ? std::optional(static_cast<double>(*entry.session))
                                           : std::optional<double>();
        table.rows.push_back(
            {{static_cast<double>(entry.n), both_times({entry.from, entry.offset_minutes}),
              report::Cell(session, "–"), std::string(registers::entry_kinds[entry.kind].name),
              words_of_entry(entry, cache)}});
    }
    return table;
}

}  // namespace

report::Document copy_document(const CopyReport& report, bool detail) {
    report::Document document{.head = {"register export", "All that is recorded of one person",
                                       report::joined(report.copy.codes, ", "), report.file.file,
                                       report.record.date}};
    const std::size_t entries = report.copy.entries.size();
    document.sections.push_back(
        {"answer",
         "Answer",
         {{report::Paragraph{report::strong(
              fmt::format("{} of {}: a copy for this person.",
                          entries == 1 ? "1 entry" : fmt::format("{} entries", entries),
                          report::joined(report.copy.codes, ", ")))}},
          {report::Paragraph{"Corrections are told, and what they correct. With --format json each "
                             "entry stands with all that was recorded, levels and their errors "
                             "included."}}}});
    document.sections.push_back({"entries", "Entries", {{entries_table(report)}}});
    auto law = law_sentences();
    document.sections.push_back({"law", "How long it is kept", {{report::sentences(law)}}});
    add_record_of_register(report.file, report.record, {}, {}, detail, document);
    return document;
}

}  // namespace earbudget::records
