#pragma once

#include <algorithm>
#include <cstdint>
#include <utility>
#include <vector>

namespace earbudget::waveforms {

/// What a file calls by numbers, each once. Found at once where numbers count up from 1, as they
/// mostly do; by halving else.
template <class Thing>
class ById {
  public:
    void add(std::int64_t id, Thing thing) { all_.emplace_back(id, std::move(thing)); }

    /// Puts all in order; the id of one that is there twice is returned, else 0.
    [[nodiscard]] std::int64_t settle() {
        std::ranges::stable_sort(all_, {}, &Entry::first);
        const auto twice = std::ranges::adjacent_find(all_, {}, &Entry::first);
        return twice == all_.end() ? 0 : twice->first;
    }

    /// Null where none has it. Precondition: settled.
    [[nodiscard]] const Thing* find(std::int64_t id) const {
        const auto guess = static_cast<std::size_t>(id - 1);
        if (guess < all_.size() && all_[guess].first == id) return &all_[guess].second;
        const auto found = std::ranges::lower_bound(all_, id, {}, &Entry::first);
        return found == all_.end() || found->first != id ? nullptr : &found->second;
    }

    [[nodiscard]] std::size_t size() const { return all_.size(); }
    [[nodiscard]] auto begin() { return all_.begin(); }
    [[nodiscard]] auto end() { return all_.end(); }

  private:
    using Entry = std::pair<std::int64_t, Thing>;
    std::vector<Entry> all_;
};

}  // namespace earbudget::waveforms
