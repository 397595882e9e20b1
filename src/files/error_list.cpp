#include "files/error_list.hpp"

#include <algorithm>
#include <stdexcept>
#include <tuple>

namespace earbudget::files {

namespace {

// Own choices: far more than is ever shown.
constexpr std::size_t most_held = 1000;
constexpr std::size_t most_bytes_held = std::size_t{16}
                                        << 20U;  // a message may name a thousand ids

}  // namespace

bool ErrorList::is_full() const {
    return errors_.size() >= most_held || bytes_held_ >= most_bytes_held;
}

void ErrorList::add(const InputError& error) {
    if (is_full()) {
        count_more();
        return;
    }
    // A facility's mistake is met again at each person.
    const auto [message, is_new] = messages_.insert(error.what());
    if (!is_new) return;
    bytes_held_ += message->size();
    errors_.push_back(error);
}

bool ErrorList::attempt_since(std::size_t begin, const std::function<void()>& read) {
    try {
        read();
    } catch (const InputErrors& several) {
        for (const InputError& error : several.all())
            add(error);
    } catch (const InputError& error) {
        if (size() == begin) add(error);
        return false;
    } catch (const AlreadyListed&) {
        if (empty()) throw std::logic_error("a mistake is said to be listed and is not");
        return false;
    }
    return size() == begin;
}

void ErrorList::lose(const std::string& sort, const std::optional<std::string>& id) {
    if (id) {
        lost_[sort].insert(*id);
    } else {
        unknown_losses_.insert(sort);
    }
}

bool ErrorList::has_lost(const std::string& sort, const std::string& id) const {
    const auto found = lost_.find(sort);
    return found != lost_.end() && found->second.contains(id);
}

bool ErrorList::may_have_lost(const std::string& sort) const {
    return unknown_losses_.contains(sort);
}

void ErrorList::throw_if_any() const {
    if (errors_.empty()) return;
    std::vector<InputError> sorted = errors_;
    const auto place = [](const InputError& error) {
        const SourcePosition& at = error.position();
        return std::tie(at.file, at.line, at.column);
    };
    std::ranges::stable_sort(sorted, {}, place);
    throw InputErrors(std::move(sorted), unlisted_);
}

}  // namespace earbudget::files
