#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include <fmt/format.h>

#include "review/card_checks.hpp"
#include "review/card_words.hpp"

namespace earbudget {

namespace {

using Words = std::span<const std::string_view>;

constexpr std::array<std::string_view, 12> places = {
    "ear",  "ears",   "head",   "bore",     "isocentre", "isocenter",
    "coil", "centre", "center", "entrance", "headrest",  "tunnel"};
constexpr std::array<std::string_view, 4> phantoms = {"phantom", "phantoms", "manikin", "dummy"};
constexpr std::array<std::string_view, 4> persons = {"person", "volunteer", "participant",
                                                     "subject"};
constexpr std::array<std::string_view, 3> nobody = {"empty", "nobody", "unoccupied"};

ReviewCheck stated_or_missing(CheckCode code, const std::string& text, const char* absent,
                              const char* to_do) {
    if (text.empty()) return {code, CheckState::Missing, absent, to_do};
    if (may_negate(text)) {
        return {code, CheckState::Doubtful, fmt::format("\"{}\" may say that it is not so", text),
                to_do};
    }
    return {code, CheckState::Ok, text, ""};
}

ReviewCheck check_how(const Origin& origin) {
    if (origin.how.empty()) {
        return {CheckCode::Origin, CheckState::Missing,
                "the card does not say where its levels come from",
                "state [origin] with how = \"measured\" or \"entered\""};
    }
    if (origin.how == "measured") return {CheckCode::Origin, CheckState::Ok, "measured", ""};
    if (origin.how == "guessed") {
        return {CheckCode::Origin, CheckState::Doubtful,
                "guessed, neither measured nor from a document", "measure it"};
    }
    return {CheckCode::Origin, CheckState::Doubtful,
            "entered from a document and not measured here",
            "see the document, and measure where the margin is small"};
}

ReviewCheck check_date(const Origin& origin) {
    if (!origin.when.empty() && !has_year(origin.when)) {
        return {CheckCode::Date, CheckState::Doubtful,
                fmt::format("\"{}\" names no year", origin.when),
                "state the date of the measurement as YYYY-MM-DD"};
    }
    return stated_or_missing(CheckCode::Date, origin.when, "no date of the measurement",
                             "state when it was measured");
}

ReviewCheck check_position(const Origin& origin) {
    if (!origin.where.empty() && !has_word(origin.where, places)) {
        return {CheckCode::Position, CheckState::Doubtful,
                fmt::format("\"{}\" does not say where the microphone stood", origin.where),
                "state the microphone's place: the ear position in the bore is what counts"};
    }
    return stated_or_missing(CheckCode::Position, origin.where,
                             "the microphone's place is not stated",
                             "state the scanner and the microphone's place");
}

/// As stated by its key, else as the text of the place says.
std::string subject_of(const Origin& origin) {
    if (!origin.subject.empty()) return origin.subject;
    if (has_word(origin.where, Words(nobody))) return "empty";
    if (may_negate(origin.where)) return "";  // "no phantom"
    if (has_word(origin.where, Words(phantoms))) return "phantom";
    return has_word(origin.where, Words(persons)) ? "person" : "";
}

ReviewCheck check_subject(const Origin& origin) {
    const std::string subject = subject_of(origin);
    if (subject.empty()) {
        return {CheckCode::Subject, CheckState::Missing,
                "whether a phantom or a person lay in the scanner, or nobody, is not stated",
                "state subject = \"phantom\", \"person\" or \"empty\""};
    }
    if (subject == "empty") {
        return {CheckCode::Subject, CheckState::Doubtful,
                "measured with nobody in the scanner: a head phantom raised levels by 5 to 10 dB "
                "(abstract seen)",
                "measure with a head phantom, or count 10 dB more"};
    }
    return {CheckCode::Subject, CheckState::Ok, "measured with a " + subject, ""};
}

/// "class 1", not "class 12" nor "not class 1".
std::optional<std::string> class_in(std::string_view text) {
    if (may_negate(text)) return std::nullopt;
    for (const char* name : {"class 1", "class 2", "Class 1", "Class 2"}) {
        const auto at = text.find(name);
        if (at == std::string_view::npos) continue;
        const auto after = at + std::string_view(name).size();
        const bool ends = after == text.size() || text[after] < '0' || text[after] > '9';
        if (ends) return name;
    }
    return std::nullopt;
}

ReviewCheck check_instrument_class(const Origin& origin) {
    if (origin.instrument_class) {
        return {CheckCode::InstrumentClass, CheckState::Ok,
                fmt::format("class {}", *origin.instrument_class), ""};
    }
    for (const std::string& text : {origin.instrument, origin.uncertainty}) {
        if (const auto name = class_in(text))
            return {CheckCode::InstrumentClass, CheckState::Ok, *name, ""};
    }
    return {CheckCode::InstrumentClass, CheckState::Missing,
            "the class of the instrument by IEC 61672-1:2013 is not stated",
            "state class 1 or class 2 with the instrument"};
}

}  // namespace

void check_origin(const Sequence& sequence, std::vector<ReviewCheck>& checks) {
    const Origin& origin = sequence.origin;
    checks.push_back(check_how(origin));
    checks.push_back(stated_or_missing(CheckCode::Who, origin.who, "nobody answers for the levels",
                                       "state who measured, or who took the levels from where"));
    checks.push_back(check_date(origin));
    checks.push_back(check_position(origin));
    checks.push_back(check_subject(origin));
    checks.push_back(stated_or_missing(CheckCode::Instrument, origin.instrument,
                                       "no instrument is stated",
                                       "state microphone and recorder, or sound level meter"));
    checks.push_back(check_instrument_class(origin));
}

}  // namespace earbudget
