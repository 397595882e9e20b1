#include "records/session_done.hpp"

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/limits/assessment.hpp"
#include "report/cautions.hpp"
#include "report/fields.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

using report::Block;
using report::Paragraph;

std::string time_words(const EntryDone& entry) {
    const std::string from = both_times(entry.from);
    return entry.from.at == entry.to.at ? from : fmt::format("{} to {}", from, rfc3339(entry.to));
}

std::vector<Block> entry_blocks(const SessionDone& done) {
    report::List list{.items = {}, .bullets = true};
    for (const EntryDone& entry : done.entries) {
        list.items.push_back({fmt::format(
            "entry {}, {}, {}{}: {}", entry.n, registers::entry_kinds[entry.kind].name, entry.as,
            entry.what.empty() ? "" : ": " + entry.what, time_words(entry))});
    }
    return {{std::move(list)}};
}

}  // namespace

LevelsHeard levels_of(const sessions::SharedRecord& exposure) {
    if (!exposure || exposure->day.rows.empty()) return {};
    const DayExposure heard = exposure_of(exposure->day);
    return {heard.LAeq, heard.at_ear_LAeq};
}

std::vector<Block> note_blocks(const std::vector<SessionNote>& notes) {
    std::vector<Block> blocks;
    for (const SessionNote& note : notes) {
        const bool is_loud = note.code == SessionNoteCode::Stopped;
        blocks.push_back({Paragraph{is_loud ? report::strong("STOP: " + note.text) : note.text}});
    }
    return blocks;
}

void end_session_document(const RegisterFile& file, const report::Record& record,
                          report::Document& document) {
    std::vector<Block> blocks;
    blocks.push_back({Paragraph{
        fmt::format("Register {}, head {}", file.file, report::hash_digits(file.head.text()))}});
    blocks.push_back({Paragraph{std::string(levels_not_measured)}});
    blocks.push_back({Paragraph{"Read with care. " +
                                report::joined(report::cautions, " ", [](std::string_view one) {
                                    return std::string(one);
                                })}});
    document.sections.push_back({"cautions", "", std::move(blocks)});
    document.first_line = report::words_on_examples(record);
    document.foot = fmt::format("earbudget {}, {}, head {}", report::program_version(), record.date,
                                file.head.text());
}

report::Document session_done_document(const SessionDone& done) {
    report::Document document{.head = {"session " + done.action, "What was recorded",
                                       fmt::format("Session {} of {}", done.session, done.as),
                                       done.file.file, done.record.date}};
    std::vector<Block> blocks = {{Paragraph{
        report::strong(fmt::format("Session {} of {}: recorded.", done.session, done.as))}}};
    report::append(entry_blocks(done), blocks);
    report::append(note_blocks(done.notes), blocks);
    document.sections.push_back({"recorded", "", std::move(blocks)});
    end_session_document(done.file, done.record, document);
    return document;
}

std::string session_done_json(const SessionDone& done) { return report::json_of(done); }

const report::ObjectShape& session_done_shape() { return report::object_shape<SessionDone>(); }

}  // namespace earbudget::records

namespace earbudget::report {

namespace {

template <class Rows>
std::vector<std::string> names_in(const Rows& rows) {
    const auto names = rows.names();
    return {names.begin(), names.end()};
}

}  // namespace

template <>
FieldTable<records::SessionNote> describe() {
    using Of = records::SessionNote;
    return {"#/$defs/session_note",
            {{"code",
              [](const Of& of) { return std::string(records::session_note_codes[of.code].name); },
              {.names = [] { return names_in(records::session_note_codes); }}},
             {"text", &Of::text}}};
}

template <>
FieldTable<records::EntryDone> describe() {
    using Of = records::EntryDone;
    return {"#/$defs/entry",
            {{"entry", &Of::n},
             {"kind",
              [](const Of& of) { return std::string(registers::entry_kinds[of.kind].name); },
              {.names = [] { return names_in(registers::entry_kinds); }}},
             {"as", &Of::as},
             {"from", &Of::from},
             {"to", &Of::to},
             {"from_UTC",
              [](const Of& of) {
                  return StatedInstant{of.from.at, 0};
              }},
             {"to_UTC",
              [](const Of& of) {
                  return StatedInstant{of.to.at, 0};
              }},
             {"what", &Of::what},
             {"LAeq_dB", [](const Of& of) { return of.levels.outside; },
              "outside; null without sound and where it is not known"},
             {"at_ear_LAeq_dB", [](const Of& of) { return of.levels.at_ear; }}}};
}

template <>
FieldTable<records::SessionDone> describe() {
    using Of = records::SessionDone;
    return {"session.schema.json",
            "earbudget session start, wear, checked, run, event, end, correct --format json",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("session"),
             {members_of,
              [](const Of& of) {
                  return records::AnswerBegin{of.action, of.file, of.record};
              }},
             {"session", &Of::session},
             {"as", &Of::as, "whose session it is"},
             {"entries", &Of::entries, "that were recorded"},
             {"notes", &Of::notes, "what must be known besides"},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report
