#pragma once

#include <string_view>
#include <vector>

#include "desk/desk.hpp"

namespace earbudget::desk {

/// A file of src/desk/assets, as it was when the program was built.
struct Asset {
    std::string_view name;  ///< "desk.js"
    std::string_view content;
};
[[nodiscard]] const std::vector<Asset>& assets();

/// /desk/NAME for each, and the styles of reports with those of the desk behind them as
/// /desk/desk.css.
[[nodiscard]] std::vector<Route> asset_routes();

}  // namespace earbudget::desk
