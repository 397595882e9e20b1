#pragma once

#include <string>

#include "earbudget/study/catalogue.hpp"

namespace earbudget::files {

/// Reads a protector catalogue, kind = "protectors"; it may be empty. `referred_from` is where a
/// plan names it, for the message when it cannot be opened. Throws InputError.
[[nodiscard]] Catalogue read_protector_catalogue(const std::string& path,
                                                 const SourcePosition* referred_from = nullptr);

}  // namespace earbudget::files
