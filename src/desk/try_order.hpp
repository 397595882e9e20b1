#pragma once

#include <cstddef>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "desk/try_form.hpp"
#include "editing/edit.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::desk::trying {

inline constexpr auto is_new = static_cast<std::size_t>(-1);

/// As a file has it: a number where it is one, so that the reader says what else is accepted.
[[nodiscard]] editing::Value number_or_text(const std::string& typed);

/// How many entries an array of a file has.
[[nodiscard]] std::size_t entries_in(const files::TomlTable& file, std::string_view key);

/// An entry, if it is one of those that are shown and of no row before.
[[nodiscard]] std::optional<std::size_t> taken(const std::optional<std::size_t>& from,
                                               const Shown& shown, std::set<std::size_t>& kept);

/// The entries of an array as they come to stand: what is there now, and the edits so far.
class Order {
  public:
    /// `kept` are those of the file that stay, among the shown ones.
    Order(editing::Path array, std::size_t count, const Shown& shown,
          const std::set<std::size_t>& kept, std::vector<editing::Edit>& edits);

    /// An entry of the file comes to stand at an index.
    void put(std::size_t entry, std::size_t at);
    void insert(std::size_t at, std::vector<std::pair<std::string, editing::Value>> keys);
    /// One like an entry of the file.
    void copy(std::size_t entry, std::size_t at);

  private:
    [[nodiscard]] std::size_t place_of(std::size_t entry) const;
    void move(std::size_t from, std::size_t to);

    editing::Path array_;
    std::vector<std::size_t> now_ = {};
    std::vector<editing::Edit>* edits_;
};

}  // namespace earbudget::desk::trying
