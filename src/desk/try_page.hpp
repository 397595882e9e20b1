#pragma once

#include <string>
#include <utility>
#include <vector>

#include "desk/desk.hpp"
#include "desk/try_trial.hpp"

namespace earbudget::desk::trying {

// The parts of the page, as markup. All but `form_markup` are made anew as somebody types.

/// Ids with what people call them.
using Named = std::vector<std::pair<std::string, std::string>>;

/// What can be chosen: of the trial, or of the last one that could be read.
struct Choices {
    Named sequences = {}, protectors = {};
    std::vector<std::string> criteria = {};  ///< ids
};
[[nodiscard]] Choices choices_of(const Plan& plan, const files::TomlTable& file);

/// The fields, with what is wrong in each.
[[nodiscard]] std::string form_markup(const PlanFile& file, const Trial& trial,
                                      const Choices& choices);

/// What is wrong in each field alone, for a page that has them.
[[nodiscard]] std::string wrong_markup(const Trial& trial);

/// Why there is no answer, where that is so; `shown` is the last one that could be computed, null
/// where there is none. Always in sight: whose verdict is which.
[[nodiscard]] std::string state_markup(const Trial& trial, const Trial* shown);

/// Everyone's verdict, then person by person limits, course and advice with its buttons.
[[nodiscard]] std::string answer_markup(const Trial& shown);

/// What another version says beside it, and what differs.
[[nodiscard]] std::string compared_markup(const Trial& shown, const Assessment& other,
                                          const report::SourceFile& file, bool is_file);

/// A button of the form that has the form brought anew.
[[nodiscard]] std::string redrawing(std::string_view label, std::string_view name,
                                    std::string_view value, std::string_view spoken = {},
                                    std::string_view look = {});

/// Saves the text of a trial beside the plan under a new name, or in the place of the plan. Throws
/// InputError for a name that is none or taken, and for a file that is no longer the one of this
/// hash.
[[nodiscard]] std::string save_as(const PlanFile& file, const std::string& text,
                                  const std::string& name);
void save_into(const PlanFile& file, const std::string& text);

}  // namespace earbudget::desk::trying
