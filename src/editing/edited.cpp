#include <algorithm>
#include <optional>
#include <stdexcept>

#include "earbudget/study/input_error.hpp"
#include "editing/splices.hpp"

namespace earbudget::editing {

namespace {

/// Edits of one text, which is read again only where one may change what stands where.
class Editing {
  public:
    Editing(std::string_view text, const FileName& file)
        : file_(file), outline_(std::in_place, std::string(text), file) {}

    void make(const Edit& edit) {
        const auto* set = std::get_if<Set>(&edit);
        if (!set) settle();
        std::vector<Splice> splices = splices_of(edit);
        const bool in_place = set && std::ranges::all_of(splices, [](const Splice& splice) {
                                  return splice.place.begin < splice.place.end;
                              });
        if (set && (!in_place || is_waiting(*set))) {
            settle();
            splices = splices_of(edit);
        }
        if (in_place && !splices.empty()) set_.push_back(*set);
        std::ranges::move(splices, std::back_inserter(waiting_));
        if (!in_place) settle();
    }

    [[nodiscard]] std::string text() {
        settle();
        return outline_->text();
    }

    [[nodiscard]] const files::TomlTable& tree() const { return outline_->tree(); }

  private:
    [[nodiscard]] std::vector<Splice> splices_of(const Edit& edit) const {
        return std::visit([this](const auto& each) { return splices_for(each, *outline_); }, edit);
    }

    [[nodiscard]] bool is_waiting(const Set& set) const {
        return std::ranges::any_of(set_, [&](const Set& other) {
            return other.key == set.key && other.table == set.table;
        });
    }

    void settle() {
        if (waiting_.empty()) return;
        std::string text = spliced(outline_->text(), std::move(waiting_));
        waiting_.clear();
        set_.clear();
        outline_.emplace(std::move(text), file_);
    }

    FileName file_;
    std::optional<Outline> outline_;
    std::vector<Splice> waiting_ = {};
    std::vector<Set> set_ = {};  // of those that wait
};

}  // namespace

std::string spliced(const std::string& text, std::vector<Splice> splices) {
    std::ranges::stable_sort(splices, {}, [](const Splice& each) { return each.place.begin; });
    std::string result;
    std::size_t at = 0;
    for (const Splice& splice : splices) {
        result.append(text, at, splice.place.begin - at);
        result += splice.text;
        at = splice.place.end;
    }
    return result.append(text, at);
}

std::string edited(std::string_view text, const std::vector<Edit>& edits, const FileName& file) {
    try {
        Editing editing(text, file);
        files::TomlTable asked = editing.tree();
        for (const Edit& edit : edits) {
            editing.make(edit);
            apply(edit, asked);
        }
        std::string result = editing.text();
        if (is_alike(editing.tree(), asked)) return result;
    } catch (const std::logic_error&) {
        // A text that is written as nobody foresaw is left alone.
    }
    throw InputError({file},
                     "the changes cannot be written without changing something else; accepted: a "
                     "change by hand");
}

}  // namespace earbudget::editing
