#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "files/toml_tree.hpp"
#include "serving/exchange.hpp"

namespace earbudget::desk::trying {

// What the form of "Try it" holds of a plan: texts as they are typed, so that what is impossible
// is said by the plan's reader and nowhere a second time.

/// So many rows and people one form shows, so that its page stays small; the others stay as they
/// are in the file. Own choices.
inline constexpr std::size_t most_rows_shown = 30;
inline constexpr std::size_t most_people_shown = 8;

/// And so many of each a form may send, new ones among them. Own choice.
inline constexpr std::size_t most_sent = 200;

/// A run in the order of the timeline with the rest right after it, or a rest that follows none.
struct TrialRow {
    std::string key;  ///< begins the names of its fields, and stays when rows are moved
    std::optional<std::size_t> from = std::nullopt;       ///< entry of the file; none: it is new
    std::optional<std::size_t> rest_from = std::nullopt;  ///< of the rest after it
    std::string sequence = {};                            ///< empty: a rest alone
    std::string duration = {}, repeat = {};               ///< of a rest alone its time
    std::string rest = {};                                ///< after it; empty for none

    bool operator==(const TrialRow&) const = default;
};

/// A task with a duration of its own.
struct TrialTask {
    std::size_t index = 0;
    std::string title = {};
    std::string duration = {};

    bool operator==(const TrialTask&) const = default;
};

struct TrialPerson {
    std::string key;
    std::optional<std::size_t> from = std::nullopt;  ///< entry of the file; none: it is new
    std::optional<std::size_t> like = std::nullopt;  ///< of a new one: made from this entry
    std::string id = {}, role = {};
    std::array<std::string, 2> wears = {};
    std::string sessions = {}, days = {}, worn = {}, fit = {};
    std::vector<TrialTask> tasks = {};

    bool operator==(const TrialPerson&) const = default;
};

struct TrialPolicy {
    std::string method = {};
    std::string derating = {};  ///< a name; `own_derating` where the file has decibels
    std::string performance = {}, accepted = {};
    std::string weekly = {}, speech = {};  ///< "true", "false"; empty: not stated
    std::vector<std::string> criteria = {};

    bool operator==(const TrialPolicy&) const = default;
};
inline constexpr std::string_view own_derating = "decibels";

/// Which of the file's entries a form shows.
struct Shown {
    std::size_t first = 0;
    std::size_t count = 0;

    [[nodiscard]] std::size_t end() const { return first + count; }
    bool operator==(const Shown&) const = default;
};

struct TrialForm {
    std::vector<TrialRow> rows = {};
    std::vector<TrialPerson> people = {};
    TrialPolicy policy = {};
    Shown timeline = {}, persons = {};
};

/// What a plan's file says, from this entry of its timeline on and this person. Whatever is not
/// as expected is left empty or as it stands, for the reader to refuse.
[[nodiscard]] TrialForm form_in_file(const files::TomlTable& plan, std::size_t first_row,
                                     std::size_t first_person);

/// What a browser sends of it. Throws InputError for more than any page has.
[[nodiscard]] TrialForm form_sent(const serving::Form& sent);

/// The same as names and values, which form_sent reads back.
using Fields = std::vector<std::pair<std::string, std::string>>;
[[nodiscard]] Fields fields_of(const TrialForm& form);
/// The names of all fields in which something is typed or chosen.
[[nodiscard]] std::vector<std::string> field_names(const TrialForm& form);
/// As one text, for a field of another form, and back.
[[nodiscard]] std::string packed(const Fields& fields);
[[nodiscard]] TrialForm form_packed(const std::string& text);

/// A button that changes the form: "up", "down", "remove", "add", "add-rest", "like" with the key
/// of a row or a person; "apply" with fields and their new values, and "drop" with a row. Anything
/// else changes nothing.
void press(std::string_view what, const std::string& value, TrialForm& form);

}  // namespace earbudget::desk::trying
