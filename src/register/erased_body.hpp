#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace earbudget::registers {

/// Numbers of entries, from first to last, whose content was erased.
struct ErasedRange {
    std::int64_t first, last;
};

/// The body of an entry that tells what was erased, from numbers in order.
[[nodiscard]] std::string erased_body(const std::vector<std::int64_t>& numbers);

/// None for anything else.
[[nodiscard]] std::optional<std::vector<ErasedRange>> read_erased_body(std::string_view body);

}  // namespace earbudget::registers
