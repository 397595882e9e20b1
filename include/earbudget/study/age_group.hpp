#pragma once

#include <array>
#include <string_view>

namespace earbudget {

/// How old somebody is, as far as ears, protectors and limits go by it.
enum class AgeGroup { Adult, Teenager, Child, Neonate };

/// Every age group that there is, from the oldest.
inline constexpr std::array<AgeGroup, 4> all_age_groups = {AgeGroup::Adult, AgeGroup::Teenager,
                                                           AgeGroup::Child, AgeGroup::Neonate};

/// As written in files and options: "adult", "teenager", "child", "neonate".
[[nodiscard]] std::string_view name_of(AgeGroup group);

/// For sentences: "an adult", "a teenager", "a child", "a neonate".
[[nodiscard]] std::string_view words_of(AgeGroup group);

}  // namespace earbudget
