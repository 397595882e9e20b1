#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace earbudget::bids {

/// A file's name without its ending, in the parts that BIDS gives it:
/// sub-01_task-rest_run-02_bold.
struct ScanName {
    std::string stem;
    std::vector<std::pair<std::string, std::string>> entities;  ///< "task", "rest"
    std::string suffix;                                         ///< "bold"; empty for other names

    /// Whether it is named by BIDS.
    [[nodiscard]] bool is_by_rule() const { return !suffix.empty(); }
    [[nodiscard]] bool has(std::string_view entity) const;
    [[nodiscard]] std::string_view value_of(std::string_view entity) const;
    /// Whether metadata of this name are about a file of the other: the same suffix, and no entity
    /// that it lacks or has otherwise (BIDS, inheritance principle).
    [[nodiscard]] bool applies_to(const ScanName& image) const;
    /// The entities but for these, and the suffix: "task-rest_bold".
    [[nodiscard]] std::string without(const std::vector<std::string_view>& entities) const;
};

[[nodiscard]] ScanName scan_name_of(std::string_view stem);

/// A file's name and its ending: ".nii.gz", ".json".
[[nodiscard]] std::pair<std::string, std::string> stem_and_ending(std::string_view file_name);

[[nodiscard]] bool is_one_of(std::string_view text, const auto& texts) {
    return std::ranges::find(texts, text) != texts.end();
}

/// Whether a name fits a pattern, in which `*` stands for any characters, also none, and `?` for
/// one byte.
[[nodiscard]] bool fits(std::string_view pattern, std::string_view name);

}  // namespace earbudget::bids
