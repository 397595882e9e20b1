#pragma once

#include <map>
#include <string>

namespace earbudget::guides {

/// The JSON schemas (2020-12) of all reports by the names of their files, made of the tables by
/// which the reports are written.
[[nodiscard]] std::map<std::string, std::string> schemas();

}  // namespace earbudget::guides
