#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "files/table_reader.hpp"

namespace earbudget::files {

/// The `kind` that a document states; empty where it states none.
[[nodiscard]] std::string_view kind_of(const TomlTable& document);

/// The command that takes files of this kind; empty where none does.
[[nodiscard]] std::string_view command_for_kind(std::string_view kind);

/// A reader of a whole file of this kind. `kind` and `format` are accepted besides `keys`. Throws
/// InputError for a file of another kind or of none, of which nothing else is worth saying; other
/// mistakes go to the list.
[[nodiscard]] TableReader open_document(const TomlTable& document, const std::string& path,
                                        std::string_view kind, std::vector<std::string> keys,
                                        ErrorList& errors);

}  // namespace earbudget::files
