#pragma once

#include <string>

#include "files/keys.hpp"

namespace earbudget::guides {

/// docs/files.md with its tables of keys as the program's own table of keys has them: what stands
/// between `<!-- keys: NAME -->` and `<!-- end of keys -->` is written anew. Throws
/// std::runtime_error for a name that no table has.
[[nodiscard]] std::string with_key_tables(const std::string& document);

/// The JSON schema (draft 2020-12) of a kind of file, for editors: types, ranges, words and what
/// must be stated. What keys have to do with one another only the program itself knows.
[[nodiscard]] std::string input_schema(const files::KeyTable& file);

}  // namespace earbudget::guides
