#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "earbudget/computing/source_position.hpp"

namespace earbudget::editing {

// Changes of a TOML file as changes of its text: what is read later is read by the same readers as
// any file, and whatever was not asked to change stays byte by byte: comments, order, blanks, line
// breaks, how a value was written.

/// From a table to one in it, by a key or by an index into an array of tables.
using Step = std::variant<std::string, std::size_t>;

/// A table of a document, or an array of tables, from the root: {"timeline", 3}.
class Path {
  public:
    Path() = default;
    Path(std::initializer_list<Step> steps) : steps_(steps) {}

    [[nodiscard]] const std::vector<Step>& steps() const { return steps_; }
    /// One step further.
    [[nodiscard]] Path operator/(Step step) const {
        Path further = *this;
        further.steps_.push_back(std::move(step));
        return further;
    }

    bool operator==(const Path&) const = default;

  private:
    std::vector<Step> steps_;
};

/// What a key may be set to.
using Value = std::variant<bool, std::int64_t, double, std::string, std::vector<std::string>,
                           std::vector<double>>;

/// A key of a table gets this value, where it stands, or as the last of its table where there is no
/// such key; a table that there is not is written. One that has the value already stays as it is.
struct Set {
    Path table;
    std::string key;
    Value value;
};

/// A key, or a table of that name, is no longer there; nothing where it is not there anyway.
struct Remove {
    Path table;
    std::string key;
};

/// The entry of an array of tables at an index stands at another one then, with the comments right
/// above it.
struct MoveEntry {
    Path array;
    std::size_t from;
    std::size_t to;
};

/// One entry less, and the comments right above it and in it.
struct RemoveEntry {
    Path array;
    std::size_t index;
};

/// The entry once more, right after itself, with its comments.
struct DuplicateEntry {
    Path array;
    std::size_t index;
};

/// A new entry with these keys, at least one, which then has this index, at most as many as there
/// are.
struct InsertEntry {
    Path array;
    std::size_t index;
    std::vector<std::pair<std::string, Value>> keys;
};

using Edit = std::variant<Set, Remove, MoveEntry, RemoveEntry, DuplicateEntry, InsertEntry>;

/// A text with all these edits, each made of what the one before left. The result is read again and
/// compared with what was asked for. Comments inside a value that is replaced, and beside a key
/// that is removed, come to stand on lines of their own. `file` is its name, for messages.
///
/// Throws InputError for a text that is no TOML, a place that is not there, and what is written in
/// a form that is not edited: a new entry in, or another order of, an array of inline tables, or a
/// new key beside dotted ones.
[[nodiscard]] std::string edited(std::string_view text, const std::vector<Edit>& edits,
                                 const FileName& file = {});

}  // namespace earbudget::editing
