#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "desk/child.hpp"
#include "desk/sounds_fields.hpp"

namespace earbudget::desk {

// A command of this program as a process of its own, whose report is a part of a page.

/// What stands between the borders of the main part of a report's page; empty where there is none.
[[nodiscard]] std::string main_of_report(const std::string& page);

/// "--NAME=VALUE", so that no value is ever taken for an option or a file.
[[nodiscard]] std::string option_with(std::string_view name, std::string_view value);

/// Options of a command by their names, as fields of a form: those that are filled in.
[[nodiscard]] std::vector<std::string> options_filled(const Form& form,
                                                      const std::vector<std::string>& names);

/// Options by their names, and how the form calls each.
using OptionWords = std::vector<std::pair<std::string, std::string>>;

/// What a command said was wrong: at the field of the option that it is about, else of none, where
/// options have the words of the form.
[[nodiscard]] Mistakes mistakes_told(const ChildAnswer& answer, std::string_view command,
                                     const std::vector<std::string>& options,
                                     const OptionWords& words = {});

/// What it said that is no mistake, a line each.
[[nodiscard]] std::vector<std::string> notes_told(const ChildAnswer& answer);

}  // namespace earbudget::desk
