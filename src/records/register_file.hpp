#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "register/register.hpp"
#include "report/document.hpp"
#include "report/record.hpp"
#include "report/shared_fields.hpp"
#include "sessions/calendar.hpp"
#include "sessions/exposure_record.hpp"

namespace earbudget::records {

/// A register as answers name it: the file, what it was made with, and where it ended when it was
/// read.
struct RegisterFile {
    std::string file;
    registers::RegisterSettings settings;
    registers::Head head;
};
[[nodiscard]] RegisterFile file_of(const registers::Register& from);

/// The site's calendar. Throws InputError where this system does not know its time zone.
[[nodiscard]] sessions::Calendar calendar_of(const registers::Register& from);

/// This machine's own time zone by its name in the IANA database; "UTC" where it does not say.
[[nodiscard]] std::string time_zone_here();

/// What every answer in JSON begins with, behind the program and the command.
struct AnswerBegin {
    std::string_view action;
    const RegisterFile& file;
    const report::Record& record;
};

/// "entry 3", "entries 3, 7 to 9 and 12"; empty for none.
[[nodiscard]] std::string entries_words(const std::vector<std::int64_t>& numbers);

/// A moment in UTC and as it was where the site is, where those differ.
[[nodiscard]] std::string both_times(const StatedInstant& at);

/// What the head is for, with the head.
[[nodiscard]] std::string head_sentence(const RegisterFile& file);
/// That codes stand for people, and where what they stand for is kept.
[[nodiscard]] std::string pseudonyms_sentence();
/// What is asked for records by law, as far as it is known.
[[nodiscard]] std::vector<std::string> law_sentences();

/// The sections at the end of every answer on a register: which it is and its head, what the
/// figures rest on, what must be read with it. In text the hashes of files are left to `detail`.
void add_record_of_register(const RegisterFile& file, const report::Record& record,
                            const std::vector<report::NamedSource>& sources,
                            const std::vector<sessions::FileHash>& files, bool detail,
                            report::Document& document);

}  // namespace earbudget::records

namespace earbudget::report {

template <>
FieldTable<records::RegisterFile> describe();
template <>
FieldTable<records::AnswerBegin> describe();
template <>
FieldTable<sessions::FileHash> describe();

/// As RFC 3339 has it, with the offset that was in force there.
template <>
struct InJson<StatedInstant> {
    static void write(const StatedInstant& at, const Note& /*note*/, JsonText& to) {
        to.text(rfc3339(at));
    }
    static Shape shape() { return {.kind = Shape::Kind::Text}; }
};
template <>
struct InJson<sessions::LocalDay> {
    static void write(sessions::LocalDay day, const Note& /*note*/, JsonText& to) {
        to.text(sessions::iso_date(day));
    }
    static Shape shape() { return {.kind = Shape::Kind::Text}; }
};
template <>
struct InJson<registers::Head> {
    static void write(const registers::Head& head, const Note& /*note*/, JsonText& to) {
        to.text(head.text());
    }
    static Shape shape() { return {.kind = Shape::Kind::Text}; }
};

}  // namespace earbudget::report
