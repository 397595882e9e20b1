#pragma once

#include <string>

namespace earbudget::files {

/// Refuses dotted keys of more parts than any file needs: what parses them calls itself once for
/// each, and a line of millions would exhaust the stack; and more keys and values than a facility's
/// largest file has, which would exhaust the memory. Throws InputError there.
void refuse_deep_keys(const std::string& toml, const std::string& path);

}  // namespace earbudget::files
