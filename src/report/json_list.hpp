#pragma once

#include <cstddef>
#include <functional>
#include <string>

#include <nlohmann/json.hpp>

namespace earbudget::report {

/// The text of an object, as all reports are printed, whose member `key` is a list: each element is
/// made, printed and forgotten before the next, so that no report stands in memory as a tree. The
/// member must be there, null, where its place is. Throws ReportTooLarge.
[[nodiscard]] std::string text_with_list(
    const nlohmann::ordered_json& object, const std::string& key, std::size_t count,
    const std::function<nlohmann::ordered_json(std::size_t)>& element);

}  // namespace earbudget::report
