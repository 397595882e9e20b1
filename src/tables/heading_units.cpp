#include <array>

#include "files/written_values.hpp"
#include "tables/headings.hpp"

namespace earbudget::tables {

namespace {

using files::in_small_letters;
using files::trimmed;

/// Small letters and digits, and a point between digits: "la_eq" and "LAeq" are one name.
std::string compact(std::string_view text) {
    const std::string small = in_small_letters(text);
    std::string name;
    for (std::size_t n = 0; n < small.size(); ++n) {
        const char c = small[n];
        const bool decimal = (c == '.' || c == ',') && n > 0 && n + 1 < small.size() &&
                             files::is_digit(small[n - 1]) && files::is_digit(small[n + 1]);
        const bool letter = (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80;
        if (letter || files::is_digit(c) || c == ':') name += c;
        if (decimal) name += '.';
    }
    return name;
}

/// A unit in the form in which columns know it; empty for a word that is none.
std::string unit_of(std::string_view word) {
    std::string small = in_small_letters(word);
    for (const std::string_view reference : {" re 20 µpa", " re 20 μpa", " re 20 upa"})
        if (const std::size_t at = small.find(reference); at != small.npos)
            small.erase(at, reference.size());
    std::string tight;
    for (const char c : small)
        if (c != ' ' && c != '(' && c != ')') tight += c;
    struct Unit {
        std::string_view shown;
        std::array<std::string_view, 6> names;
    };
    static constexpr std::array<Unit, 14> units = {
        {{"s", {"s", "sec", "secs", "second", "seconds"}},
         {"min", {"min", "mins", "minute", "minutes"}},
         {"h", {"h", "hr", "hrs", "hour", "hours"}},
         {"ms", {"ms", "millisecond", "milliseconds"}},
         {"min:s", {"min:s", "min:sec", "mm:ss", "m:ss", "min:ss", "m:s"}},
         {"h:min:s", {"h:min:s", "hh:mm:ss", "h:mm:ss", "h:m:s", "h:min:sec"}},
         {"h:min", {"h:min", "hh:mm", "h:mm", "h:m"}},
         {"db", {"db", "db,k=1", "dbk=1", "k=1"}},
         {"dbz", {"dbz", "dblin", "dbl"}},
         {"dba", {"dba"}},
         {"dbc", {"dbc"}},
         {"hz", {"hz"}},
         {"khz", {"khz"}},
         {"k=2", {"k=2", "db,k=2", "dbk=2", "95%", "db,95%"}}}};
    for (const Unit& unit : units)
        for (const std::string_view name : unit.names)
            if (!name.empty() && name == tight) return std::string(unit.shown);
    return "";
}

/// Where the bracket that ends a text begins; npos where none does.
std::size_t last_bracket(std::string_view text) {
    if (text.empty() || (text.back() != ')' && text.back() != ']')) return text.npos;
    int depth = 0;
    for (std::size_t n = text.size(); n-- > 0;) {
        if (text[n] == ')' || text[n] == ']') ++depth;
        if ((text[n] == '(' || text[n] == '[') && --depth == 0) return n;
    }
    return text.npos;
}

NameAndUnit with_unit(std::string_view name, std::string unit) {
    std::string short_name = compact(name);
    // "63 Hz": the frequency is what the column is of.
    if (unit == "hz" || unit == "khz") return {short_name + unit, ""};
    return {std::move(short_name), std::move(unit)};
}

}  // namespace

NameAndUnit name_and_unit(std::string_view heading) {
    const std::string_view text = trimmed(heading, " :");
    if (const std::size_t bracket = last_bracket(text); bracket != text.npos && bracket > 0) {
        const std::string_view inside = text.substr(bracket + 1, text.size() - bracket - 2);
        const std::string_view before = trimmed(text.substr(0, bracket));
        // "LAeq dB(A)": the bracket is a part of the unit.
        const std::size_t blank = before.find_last_of(" ,/");
        const std::string whole = blank == before.npos ? "" : unit_of(text.substr(blank + 1));
        if (!whole.empty()) return with_unit(before.substr(0, blank), whole);
        if (const std::string unit = unit_of(inside); !unit.empty()) return with_unit(before, unit);
    }
    for (const std::string_view mark : {" in ", "/", ",", "_", " "}) {
        const std::size_t at = text.rfind(mark);
        if (at == text.npos || at == 0) continue;
        const std::string unit = unit_of(trimmed(text.substr(at + mark.size())));
        if (!unit.empty()) return with_unit(text.substr(0, at), unit);
    }
    return {compact(text), ""};
}

}  // namespace earbudget::tables
