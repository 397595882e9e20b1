#include "records/register_file.hpp"

#include <stdexcept>

#include <date/tz.h>
#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "earbudget/study/visible_text.hpp"
#include "report/cautions.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

using report::Definitions;
using report::Heading;

RegisterFile file_of(const registers::Register& from) {
    return {from.path(), from.settings(), from.head()};
}

sessions::Calendar calendar_of(const registers::Register& from) {
    const std::string& zone = from.settings().time_zone;
    auto calendar = sessions::Calendar::of(zone);
    if (!calendar) {
        throw InputError({from.path()},
                         fmt::format("its time zone \"{}\" is none that this system knows; "
                                     "accepted: a system with the IANA time zone database (tzdata)",
                                     zone));
    }
    return *std::move(calendar);
}

std::string time_zone_here() {
    try {
        const std::string name = date::current_zone()->name();
        if (sessions::Calendar::of(name)) return name;
    } catch (const std::runtime_error&) {
        // No such setting, or one that names no zone.
    }
    return "UTC";
}

std::string entries_words(const std::vector<std::int64_t>& numbers) {
    if (numbers.empty()) return "";
    std::vector<std::string> ranges;
    for (std::size_t n = 0; n < numbers.size();) {
        std::size_t last = n;
        while (last + 1 < numbers.size() && numbers[last + 1] == numbers[last] + 1)
            ++last;
        if (last > n + 1) {
            ranges.push_back(fmt::format("{} to {}", numbers[n], numbers[last]));
        } else {
            for (std::size_t one = n; one <= last; ++one)
                ranges.push_back(std::to_string(numbers[one]));
        }
        n = last + 1;
    }
    const std::string word = numbers.size() == 1 ? "entry " : "entries ";
    if (ranges.size() == 1) return word + ranges.front();
    const std::string last = ranges.back();
    ranges.pop_back();
    return word + report::joined(ranges, ", ") + " and " + last;
}

std::string both_times(const StatedInstant& at) {
    const std::string there = rfc3339(at);
    return at.offset_minutes == 0 ? there : fmt::format("{} ({})", there, rfc3339({at.at, 0}));
}

std::string head_sentence(const RegisterFile& file) {
    return fmt::format(
        "Head of the register: {}. Kept outside of it, as on this answer, it later proves with "
        "register verify --head that nothing until entry {} was changed, removed or written anew.",
        file.head.text(), file.head.n);
}

std::string pseudonyms_sentence() {
    return "The register knows people by codes alone. Which code is whose stands in a list that "
           "the site keeps elsewhere, under lock, for as few as possible (docs/register.md); no "
           "name belongs into a code, a title, a note or a file's name.";
}

std::vector<std::string> law_sentences() {
    return {
        "Records: 2003/10/EC, article 10, asks for individual health records that are kept up to "
        "date and states no period; 29 CFR 1910.95(m) asks for two years of exposure measurements. "
        "How long this site keeps entries is its own setting: ask whoever answers for data "
        "protection there."};
}

void add_record_of_register(const RegisterFile& file, const report::Record& record,
                            const std::vector<report::NamedSource>& sources,
                            const std::vector<sessions::FileHash>& files, bool detail,
                            report::Document& document) {
    const std::string program = fmt::format("earbudget {}", report::program_version());
    Definitions terms{.entries = {{"program", program},
                                  {"date", record.date},
                                  {"register", file.file},
                                  {"head", report::hash_digits(file.head.text())},
                                  {"time zone of its days", file.settings.time_zone}}};
    for (const report::NamedSource& source : sources)
        terms.entries.emplace_back("criterion " + source.id, source.source);
    std::vector<report::Block> blocks = {{std::move(terms)}};
    if (!files.empty()) {
        Definitions hashes{.entries = {}, .look = "record"};
        for (const sessions::FileHash& one : files)
            hashes.entries.emplace_back(one.file, report::hash_digits(one.sha256));
        blocks.push_back(
            {Heading{"Cards and other files that levels were computed from when they "
                     "were recorded, with their SHA-256"}});
        blocks.push_back({std::move(hashes)});
    }
    document.sections.push_back({.id = "record",
                                 .heading = "Sources and record",
                                 .blocks = std::move(blocks),
                                 .medium = detail ? report::Medium::Every : report::Medium::Page});
    std::vector<std::string> all = {head_sentence(file), pseudonyms_sentence()};
    all.insert(all.end(), report::cautions.begin(), report::cautions.end());
    document.sections.push_back(
        {.id = "cautions", .heading = "Read with care", .blocks = {{report::sentences(all)}}});
    document.foot = fmt::format("{}, {}, head {}", program, record.date, file.head.text());
}

}  // namespace earbudget::records

namespace earbudget::report {

template <>
FieldTable<records::RegisterFile> describe() {
    using Of = records::RegisterFile;
    return {"#/$defs/register",
            {{"file", &Of::file},
             {"title", [](const Of& of) { return of.settings.title; }},
             {"time_zone", [](const Of& of) { return of.settings.time_zone; },
              "IANA's name: its days and weeks are those of the site"},
             {"retention_days", [](const Of& of) { return of.settings.retention_days; },
              "how long a person's entries are to be kept; null: for good"},
             {"created",
              [](const Of& of) {
                  return StatedInstant{of.settings.created, 0};
              }},
             {"head",
              &Of::head,
              "N:HASH, the last entry and what stands for all until it; verify takes it",
              {.pattern = "^[0-9]+:[0-9a-f]{64}$"}}}};
}

template <>
FieldTable<records::AnswerBegin> describe() {
    using Of = records::AnswerBegin;
    return {{"action", [](const Of& of) { return std::string(of.action); }, "what was asked for"},
            {"date", [](const Of& of) { return of.record.date; }},
            {"register", [](const Of& of) { return of.file; }}};
}

template <>
FieldTable<sessions::FileHash> describe() {
    using Of = sessions::FileHash;
    return {"#/$defs/file", {{"file", &Of::file}, {"sha256", &Of::sha256}}};
}

}  // namespace earbudget::report
