#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "desk/desk.hpp"
#include "records/register_totals.hpp"
#include "register/register.hpp"
#include "report/document.hpp"
#include "report/record.hpp"
#include "sessions/calendar.hpp"

namespace earbudget::desk {

// What the pages about the register share.

/// The register as a page has it open.
struct OfRegister {
    registers::Register from;
    sessions::Calendar calendar;
    std::int64_t newest;  ///< the number of its last entry

    /// Whether to read all of it may take longer than a request; own choice.
    [[nodiscard]] bool is_long() const { return newest > most_entries_at_once; }
    static constexpr std::int64_t most_entries_at_once = 20'000;
};

/// Throws InputError where it is none, or not any more. The desk must have one.
[[nodiscard]] OfRegister open_register(const Opened& desk,
                                       registers::Access access = registers::Access::Read);

/// That the desk was opened without one, and how to make it.
[[nodiscard]] Reply without_register(const Asked& asked);

/// The record of an answer of today.
[[nodiscard]] report::Record record_of_today();

/// A document without what each page of the desk says at its foot, and what the register's own page
/// says once; the sources unfold.
[[nodiscard]] std::string part_of_page(report::Document document);
/// Sections beside one another where there is room.
[[nodiscard]] std::string beside(const std::vector<std::string>& sections);
/// And without sections whose names begin so.
void leave_out(std::string_view id_begins, report::Document& document);
/// The table of a section; null where there is none.
[[nodiscard]] report::Table* table_in(std::string_view section, report::Document& document);

/// A page may have so many bytes; what would have more is shown in parts. Own choice, below the
/// 150 kB that a page is allowed.
inline constexpr std::size_t most_of_a_part = 110'000;

/// Who tells something: a field for it where that is not settled, and what was answered.
[[nodiscard]] std::string teller_field(const Asked& asked, std::string_view name = "by");
[[nodiscard]] std::optional<std::string> told_by(const Asked& asked, std::string_view name = "by");

/// A month by its name, "2026-11".
struct MonthAsked {
    sessions::LocalDay first, last;
    [[nodiscard]] std::string name() const { return sessions::iso_date(first).substr(0, 7); }
};
[[nodiscard]] MonthAsked month_of(sessions::LocalDay day);
/// Throws InputError for anything else.
[[nodiscard]] MonthAsked month_named(const std::string& name);

/// What is kept as a file: "CSV", "JSON", "page".
[[nodiscard]] std::string download_links(
    const std::string& of, const std::vector<std::pair<std::string, std::string>>& fields,
    const std::vector<std::string>& formats);

/// Has the command line do what takes long, and leads to the page that tells how far it is.
/// `embedded`: what it finds stands on that page, else it is opened or kept.
struct LongAnswer {
    std::string title;
    std::vector<std::string> arguments;
    std::string format;  ///< "html", "json", "csv"
    bool embedded = false;
    std::string file = {};  ///< under which it is kept; empty: it is opened
};
[[nodiscard]] Reply answer_later(const Opened& desk, LongAnswer asked);

/// A correction as its form has it; what is wrong with a field stands by its name.
struct CorrectionForm {
    std::string as;
    std::int64_t newest = 0;  ///< entry of the register when the form was made
    std::vector<std::pair<std::string, std::string>> entries = {};  ///< to choose from; empty: type
    std::map<std::string, std::string> values = {}, wrong = {};
};
[[nodiscard]] std::string correction_form(const Asked& asked, const CorrectionForm& form);

/// What an entry that was just recorded says; empty where the address names none of this person.
[[nodiscard]] std::vector<std::string> said_of_done(const Asked& asked, const OfRegister& opened);

}  // namespace earbudget::desk
