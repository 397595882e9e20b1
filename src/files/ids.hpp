#pragma once

#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "files/table_reader.hpp"

namespace earbudget::files {

/// The nearest of some names to one that is not among them; none when nothing is near.
[[nodiscard]] std::optional<std::string> nearest_name(std::string_view name,
                                                      const std::vector<std::string>& names);

/// ", the nearest known is \"mprage\"", for messages; empty when nothing is near.
[[nodiscard]] std::string nearest_words(std::string_view name,
                                        const std::vector<std::string>& names);

/// The error for an id that is not among those known, naming the nearest and all of them. `none`
/// says why where there are none: "the catalogue is empty".
[[nodiscard]] InputError unknown_id(std::string_view what, const Located<std::string>& id,
                                    const std::vector<std::string>& known, std::string_view none);

/// Lists that error, but not where an entry of this sort could not be read: it may be that one.
void list_unknown_id(ErrorList& errors, std::string_view what, const Located<std::string>& id,
                     const std::vector<std::string>& known, std::string_view none);

/// The ids of what has such.
template <class All>
[[nodiscard]] std::vector<std::string> ids_of(All&& all) {
    std::vector<std::string> ids;
    for (const auto& one : all)
        ids.push_back(one.id);
    return ids;
}

/// Of those alone that fit. (Clang 14 does not compile the views of its standard library.)
[[nodiscard]] std::vector<std::string> ids_of(const auto& all, const auto& fits) {
    std::vector<std::string> ids;
    for (const auto& one : all)
        if (fits(one)) ids.push_back(one.id);
    return ids;
}

/// Where what has this id stands. Lists the error where nothing has it, with `more` ids that are
/// known too, and throws AlreadyListed.
template <class All>
[[nodiscard]] std::size_t index_named(ErrorList& errors, std::string_view what,
                                      const Located<std::string>& id, const All& all,
                                      std::string_view none, std::vector<std::string> more = {}) {
    for (std::size_t i = 0; i < all.size(); ++i)
        if (all[i].id == id.value) return i;
    for (std::string& known : ids_of(all))
        more.push_back(std::move(known));
    list_unknown_id(errors, what, id, more, none);
    throw AlreadyListed();
}

/// What ids may be, for messages.
inline constexpr std::string_view accepted_ids =
    "any text of at most 100 characters, without blanks at its ends and characters that cannot be "
    "seen";

/// Why a text cannot be an id: ", with a blank at an end"; none where it can. Ids are names that
/// people compare by eye, so that they hold nothing that is not seen: no control characters, none
/// that turn the direction of writing and none of no width.
[[nodiscard]] std::optional<std::string> why_no_id(std::string_view id);

/// What the file of a card with this id may be called: the id in characters that every file system
/// takes, none of the names taken, in small letters, to which it is added.
[[nodiscard]] std::string file_name_of_card(const std::string& id, std::set<std::string>& taken);

/// Reads an id; what cannot be one is a mistake. Throws AlreadyListed where there is none.
[[nodiscard]] Located<std::string> require_id(TableReader& table);

/// The `kind` that a document states; empty where it states none.
[[nodiscard]] std::string_view kind_of(const TomlTable& document);

/// The command that takes files of this kind; empty where none does.
[[nodiscard]] std::string_view command_for_kind(std::string_view kind);

/// A reader of a whole file with these keys, whose name is its kind. Throws InputError for a file
/// of another kind or of none, of which nothing else is worth saying; other mistakes go to the
/// list.
[[nodiscard]] TableReader open_document(const TomlTable& document, const std::string& path,
                                        const KeyTable& keys, ErrorList& errors);

}  // namespace earbudget::files
