#include <algorithm>
#include <array>
#include <cctype>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "review/reviewing.hpp"

namespace earbudget {

namespace {

bool is_of_word(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return std::isalnum(byte) != 0 || byte >= 0x80 || c == '.';
}

}  // namespace

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words = {""};
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const bool digit_follows =
            i + 1 < text.size() && std::isdigit(static_cast<unsigned char>(text[i + 1])) != 0;
        if (!is_of_word(c) || (c == '.' && !digit_follows)) {
            if (!words.back().empty()) words.emplace_back();
        } else {
            words.back() += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        }
    }
    return words;
}

namespace {

/// Whether any of some words, in small letters, stands in free text as a word of its own.
bool has_word(std::string_view text, std::span<const std::string_view> words) {
    return std::ranges::any_of(words_of(text), [&](const std::string& word) {
        return std::ranges::find(words, word) != words.end();
    });
}

}  // namespace

bool may_negate(std::string_view text) {
    static constexpr std::array<std::string_view, 5> negations = {"no", "not", "none", "without",
                                                                  "unknown"};
    return has_word(text, negations);
}

bool has_year(std::string_view text) {
    return std::ranges::any_of(words_of(text), [](const std::string& word) {
        // "2.11.2026" is one word.
        const std::string_view last = std::string_view(word).substr(word.rfind('.') + 1);
        return last.size() == 4 && (last.starts_with("19") || last.starts_with("20")) &&
               std::ranges::all_of(last, [](unsigned char c) { return std::isdigit(c) != 0; });
    });
}

namespace {

using Words = std::span<const std::string_view>;

constexpr std::array<std::string_view, 12> places = {
    "ear",  "ears",   "head",   "bore",     "isocentre", "isocenter",
    "coil", "centre", "center", "entrance", "headrest",  "tunnel"};
constexpr std::array<std::string_view, 4> phantoms = {"phantom", "phantoms", "manikin", "dummy"};
constexpr std::array<std::string_view, 4> persons = {"person", "volunteer", "participant",
                                                     "subject"};
constexpr std::array<std::string_view, 3> nobody = {"empty", "nobody", "unoccupied"};

ReviewCheck stated_or_missing(CheckCode code, const std::string& text, const Message& absent,
                              const Message& to_do) {
    if (text.empty()) return {code, CheckState::Missing, absent, to_do};
    if (may_negate(text))
        return {code, CheckState::Doubtful, say<CheckPhrase::MayNegate>(text), to_do};
    return {code, CheckState::Ok, as_it_stands(text)};
}

ReviewCheck check_how(const Origin& origin) {
    if (origin.how.empty()) {
        return {CheckCode::Origin, CheckState::Missing, say<CheckPhrase::OriginNotStated>(),
                say<CheckPhrase::StateOrigin>()};
    }
    if (origin.how == "measured")
        return {CheckCode::Origin, CheckState::Ok, say<CheckPhrase::Measured>()};
    if (!may_be_within(origin)) {
        return {CheckCode::Origin, CheckState::Doubtful,
                origin.how == "declared"    ? say<CheckPhrase::Declared>()
                : origin.how == "predicted" ? say<CheckPhrase::Predicted>()
                                            : say<CheckPhrase::Guessed>(),
                say<CheckPhrase::MeasureIt>()};
    }
    return {CheckCode::Origin, CheckState::Doubtful, say<CheckPhrase::Entered>(),
            say<CheckPhrase::SeeDocument>()};
}

ReviewCheck check_date(const Origin& origin) {
    if (!origin.when.empty() && !has_year(origin.when)) {
        return {CheckCode::Date, CheckState::Doubtful, say<CheckPhrase::NamesNoYear>(origin.when),
                say<CheckPhrase::StateFullDate>()};
    }
    return stated_or_missing(CheckCode::Date, origin.when, say<CheckPhrase::NoDate>(),
                             say<CheckPhrase::StateWhen>());
}

ReviewCheck check_position(const Origin& origin) {
    if (!origin.where.empty() && !has_word(origin.where, places)) {
        return {CheckCode::Position, CheckState::Doubtful, say<CheckPhrase::NotWhere>(origin.where),
                say<CheckPhrase::StateEarPosition>()};
    }
    return stated_or_missing(CheckCode::Position, origin.where, say<CheckPhrase::PlaceNotStated>(),
                             say<CheckPhrase::StatePlace>());
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
        return {CheckCode::Subject, CheckState::Missing, say<CheckPhrase::SubjectNotStated>(),
                say<CheckPhrase::StateSubject>()};
    }
    if (subject == "empty") {
        return {CheckCode::Subject, CheckState::Doubtful, say<CheckPhrase::NobodyInScanner>(),
                say<CheckPhrase::MeasureWithPhantom>()};
    }
    return {CheckCode::Subject, CheckState::Ok,
            say<CheckPhrase::MeasuredWith>(subject == "phantom")};
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
    constexpr CheckCode code = CheckCode::InstrumentClass;
    if (origin.instrument_class)
        return {code, CheckState::Ok, say<CheckPhrase::InstrumentClass>(*origin.instrument_class)};
    for (const std::string& text : {origin.instrument, origin.uncertainty}) {
        if (const auto name = class_in(text)) return {code, CheckState::Ok, as_it_stands(*name)};
    }
    return {code, CheckState::Missing, say<CheckPhrase::ClassNotStated>(),
            say<CheckPhrase::StateClass>()};
}

}  // namespace

void check_origin(const Sequence& sequence, std::vector<ReviewCheck>& checks) {
    const Origin& origin = sequence.origin;
    checks.push_back(check_how(origin));
    checks.push_back(stated_or_missing(CheckCode::Who, origin.who,
                                       say<CheckPhrase::NobodyAnswers>(),
                                       say<CheckPhrase::StateWho>()));
    checks.push_back(check_date(origin));
    checks.push_back(check_position(origin));
    checks.push_back(check_subject(origin));
    checks.push_back(stated_or_missing(CheckCode::Instrument, origin.instrument,
                                       say<CheckPhrase::NoInstrument>(),
                                       say<CheckPhrase::StateInstrument>()));
    checks.push_back(check_instrument_class(origin));
}

}  // namespace earbudget
