#include "desk/try_order.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace earbudget::desk::trying {

editing::Value number_or_text(const std::string& typed) {
    const char* const end = typed.data() + typed.size();
    std::int64_t count = 0;
    if (const auto read = std::from_chars(typed.data(), end, count);
        read.ec == std::errc() && read.ptr == end)
        return count;
    double number = 0.0;
    if (const auto read = std::from_chars(typed.data(), end, number, std::chars_format::fixed);
        read.ec == std::errc() && read.ptr == end && std::isfinite(number))
        return number;
    return typed;
}

std::size_t entries_in(const files::TomlTable& file, std::string_view key) {
    const auto entry = std::ranges::find(file.entries, key, &files::TomlEntry::key);
    const auto* array = entry == file.entries.end()
                            ? nullptr
                            : std::get_if<files::TomlArray>(&entry->value.content);
    return array ? array->size() : 0;
}

std::optional<std::size_t> taken(const std::optional<std::size_t>& from, const Shown& shown,
                                 std::set<std::size_t>& kept) {
    if (!from || *from < shown.first || *from >= shown.end()) return std::nullopt;
    return kept.insert(*from).second ? from : std::nullopt;
}

Order::Order(editing::Path array, std::size_t count, const Shown& shown,
             const std::set<std::size_t>& kept, std::vector<editing::Edit>& edits)
    : array_(std::move(array)), edits_(&edits) {
    for (std::size_t n = 0; n < count; ++n)
        now_.push_back(n);
    for (std::size_t n = std::min(shown.end(), count); n > shown.first; --n) {
        if (kept.contains(n - 1)) continue;
        edits_->push_back(editing::RemoveEntry{array_, n - 1});
        now_.erase(now_.begin() + static_cast<std::ptrdiff_t>(n - 1));
    }
}

void Order::put(std::size_t entry, std::size_t at) { move(place_of(entry), at); }

void Order::insert(std::size_t at, std::vector<std::pair<std::string, editing::Value>> keys) {
    edits_->push_back(editing::InsertEntry{array_, at, std::move(keys)});
    now_.insert(now_.begin() + static_cast<std::ptrdiff_t>(at), is_new);
}

void Order::copy(std::size_t entry, std::size_t at) {
    const std::size_t place = place_of(entry);
    edits_->push_back(editing::DuplicateEntry{array_, place});
    now_.insert(now_.begin() + static_cast<std::ptrdiff_t>(place + 1), is_new);
    move(place + 1, at);
}

std::size_t Order::place_of(std::size_t entry) const {
    return static_cast<std::size_t>(std::ranges::find(now_, entry) - now_.begin());
}

void Order::move(std::size_t from, std::size_t to) {
    if (from == to) return;
    edits_->push_back(editing::MoveEntry{array_, from, to});
    const std::size_t entry = now_[from];
    now_.erase(now_.begin() + static_cast<std::ptrdiff_t>(from));
    now_.insert(now_.begin() + static_cast<std::ptrdiff_t>(to), entry);
}

}  // namespace earbudget::desk::trying
