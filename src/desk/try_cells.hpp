#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "desk/try_form.hpp"

namespace earbudget::desk::trying {

/// Ids with what people call them.
using Named = std::vector<std::pair<std::string, std::string>>;

/// What is wrong, by the name of the field that it is wrong in.
using Wrong = std::vector<std::pair<std::string, std::string>>;

/// In all fields of a kind together so many options open where they are; more are typed, with one
/// list of what there is. Own choice, for the size of the page.
inline constexpr std::size_t most_options = 240;

/// What is wrong in a field, in a place that is there in any case.
[[nodiscard]] std::string wrong_in(const Wrong& wrong, const std::string& name);

/// Fields of one form, as markup, each with its label above it and what is wrong below.
class Cells {
  public:
    explicit Cells(const Wrong& wrong) : wrong_(wrong) {}

    [[nodiscard]] std::string typed(const std::string& name, std::string_view label,
                                    const std::string& value, std::string_view look = {},
                                    std::string_view attributes = {}) const;

    /// One of several, or what stands there and is none of them. Without any it is typed, with the
    /// list of that id.
    [[nodiscard]] std::string chosen(const std::string& name, std::string_view label,
                                     const std::string& value, const Named& options,
                                     std::string_view list = {}) const;

    [[nodiscard]] std::string wrong(const std::string& name) const {
        return wrong_in(wrong_, name);
    }

  private:
    [[nodiscard]] bool is_wrong(const std::string& name) const;
    [[nodiscard]] std::string cell(const std::string& name, std::string_view label,
                                   std::string_view look, const std::string& markup) const;

    const Wrong& wrong_;
};

/// A button of the form that has the form brought anew; `spoken` is how it is read out.
[[nodiscard]] std::string redrawing(std::string_view label, std::string_view name,
                                    std::string_view value, std::string_view spoken = {},
                                    std::string_view look = {});

/// A field that nobody sees; empty for no index.
[[nodiscard]] std::string index_field(const std::string& name,
                                      const std::optional<std::size_t>& index);

[[nodiscard]] std::string fieldset(std::string_view legend, std::string_view look,
                                   const std::string& markup);

/// "Rows 41 to 80 of 200", with where the others are; empty where all are shown.
[[nodiscard]] std::string window_markup(std::string_view what, std::string_view field,
                                        const Shown& shown, std::size_t all, std::size_t step,
                                        const std::string& name);

/// What saves a trial of the file of that name.
[[nodiscard]] std::string save_markup(const std::string& name);

}  // namespace earbudget::desk::trying
