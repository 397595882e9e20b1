#pragma once

#include <string_view>

#include "earbudget/computing/rows.hpp"

namespace earbudget {

/// How old somebody is, as far as ears, protectors and limits go by it; from the oldest.
enum class AgeGroup { Adult, Teenager, Child, Neonate };

struct AgeGroupRow {
    AgeGroup key;
    std::string_view name;   ///< as written in files and options
    std::string_view words;  ///< for sentences
};

inline constexpr auto age_groups = rows_of<AgeGroupRow>({
    {AgeGroup::Adult, "adult", "an adult"},
    {AgeGroup::Teenager, "teenager", "a teenager"},
    {AgeGroup::Child, "child", "a child"},
    {AgeGroup::Neonate, "neonate", "a neonate"},
});

/// As written in files and options: "adult", "teenager", "child", "neonate".
[[nodiscard]] constexpr std::string_view name_of(AgeGroup group) { return age_groups[group].name; }

/// For sentences: "an adult", "a teenager", "a child", "a neonate".
[[nodiscard]] constexpr std::string_view words_of(AgeGroup group) {
    return age_groups[group].words;
}

}  // namespace earbudget
