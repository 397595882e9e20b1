#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "desk/desk.hpp"
#include "desk/try_cells.hpp"
#include "desk/try_trial.hpp"

namespace earbudget::desk::trying {

// The parts of the page, as markup. All but `form_markup` are made anew as somebody types.

/// A page to be, of one request.
struct TryPage {
    const Opened& desk;
    const Asked& asked;
    PlanFile file;
    std::vector<std::string> said = {};
    bool redrawn = true;  ///< else only what an answer changes
};

/// Which button of those that change the form was pressed; empty for none.
[[nodiscard]] std::string_view pressed_in(const serving::Form& form);
[[nodiscard]] std::size_t number_in(const serving::Form& form, std::string_view name);

/// What all such pages are made of: other plans, what is always in sight, form, answer beside it.
[[nodiscard]] Reply page_with(const TryPage& page, const std::string& state,
                              const std::string& form, const std::string& answers);

/// Saves where that was asked for; none where the page goes on, with what is said on it.
[[nodiscard]] std::optional<Reply> saved(TryPage& page, bool is_answered, const std::string& text);

// Of a study of visits, by the address and by its form.
[[nodiscard]] Reply visits_asked(TryPage& page);
[[nodiscard]] Reply visits_changed(TryPage& page);

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
/// The same of whatever is tried: `ids_with` has whose verdict it is, empty for nobody.
struct TrialState {
    bool is_answered;
    bool is_any_shown;
    const Wrong& wrong;
    const std::vector<std::string>& wrong_elsewhere;
    std::function<std::string(Verdict)> ids_with;
};
[[nodiscard]] std::string state_markup(const TrialState& state);

/// Everyone's verdict, then person by person limits, course and advice with its buttons.
[[nodiscard]] std::string answer_markup(const Trial& shown);

/// What another version says beside it, and what differs.
[[nodiscard]] std::string compared_markup(const Trial& shown, const Assessment& other,
                                          const report::SourceFile& file, bool is_file);

/// Saves the text of a trial beside the plan under a new name, or in the place of the plan. Throws
/// InputError for a name that is none or taken, and for a file that is no longer the one of this
/// hash.
[[nodiscard]] std::string save_as(const PlanFile& file, const std::string& text,
                                  const std::string& name);
void save_into(const PlanFile& file, const std::string& text);

}  // namespace earbudget::desk::trying
