#pragma once

#include <string>

#include "earbudget/study/catalogue.hpp"
#include "files/error_list.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::files {

/// Reads a protector catalogue, kind = "protectors"; it may be empty. `referred_from` is where a
/// plan names it, for the message when it cannot be opened. Throws InputError.
[[nodiscard]] Catalogue read_protector_catalogue(const std::string& path, TextInputs& inputs,
                                                 const SourcePosition* referred_from = nullptr);

/// The same of a file that nothing else is read with.
[[nodiscard]] Catalogue read_protector_catalogue(const std::string& path);

/// The same from the content of the file at `path`.
[[nodiscard]] Catalogue read_protector_catalogue(const TomlTable& document,
                                                 const std::string& path);

/// The same, with mistakes listed where reading can go on; protectors with mistakes are in the
/// result too.
[[nodiscard]] Catalogue read_protector_catalogue(const TomlTable& document, const std::string& path,
                                                 ErrorList& errors);

}  // namespace earbudget::files
