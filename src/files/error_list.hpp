#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "earbudget/study/input_error.hpp"

namespace earbudget::files {

/// Several mistakes at once, in the order of files, lines and columns; what() is that of the first.
class InputErrors : public InputError {
  public:
    /// `sorted` holds at least one; `unlisted` says how many more there were.
    explicit InputErrors(std::vector<InputError> sorted, std::size_t unlisted = 0)
        : InputError(sorted.front()), all_(std::move(sorted)), unlisted_(unlisted) {}

    [[nodiscard]] const std::vector<InputError>& all() const { return all_; }
    [[nodiscard]] std::size_t unlisted() const { return unlisted_; }

  private:
    std::vector<InputError> all_;
    std::size_t unlisted_;
};

/// Thrown where something cannot be read further because of what is in the list of errors already.
struct AlreadyListed {};

/// The mistakes found while files are read, which goes on after each.
///
/// What cannot be told apart from the consequence of another mistake is not added: who corrects
/// that one would look for an error that is none.
class ErrorList {
  public:
    void add(const InputError& error);
    /// Counts a mistake of which nothing is said, where the list is full.
    void count_more() { ++unlisted_; }
    [[nodiscard]] std::size_t size() const { return errors_.size() + unlisted_; }
    [[nodiscard]] bool empty() const { return size() == 0; }
    /// As many are held as anybody would read, and further ones only counted.
    [[nodiscard]] bool is_full() const;

    /// Runs a part of the reading and adds what it throws; but not where the part had added
    /// something already, of which that may be a consequence. True when nothing was wrong.
    bool attempt(const std::function<void()>& read) { return attempt_since(size(), read); }

    /// The same for a part that began when the list had this size.
    bool attempt_since(std::size_t begin, const std::function<void()>& read);

    /// Says that an entry of this sort ("protector") is wrong, by its id where that could be read,
    /// or that nobody knows which entries there are.
    void lose(const std::string& sort, const std::optional<std::string>& id);
    [[nodiscard]] bool has_lost(const std::string& sort, const std::string& id) const;
    /// Whether an id that is not there may be that of an entry that could not be read.
    [[nodiscard]] bool may_have_lost(const std::string& sort) const;

    /// Keeps what is no mistake, but could have been meant otherwise.
    void note(ReadingNote note) { notes_.push_back(std::move(note)); }
    [[nodiscard]] const std::vector<ReadingNote>& notes() const { return notes_; }

    /// Keeps the name of a folder whose files were read or passed over.
    void list_folder(const std::string& folder) { folders_.insert(folder); }
    [[nodiscard]] const std::set<std::string>& folders() const { return folders_; }

    /// Throws InputErrors where the list is not empty.
    void throw_if_any() const;

  private:
    std::vector<InputError> errors_;
    std::set<std::string> messages_;
    std::size_t bytes_held_ = 0;  ///< of all messages
    std::size_t unlisted_ = 0;
    std::map<std::string, std::set<std::string>> lost_;
    std::set<std::string> unknown_losses_;
    std::vector<ReadingNote> notes_;
    std::set<std::string> folders_;
};

/// What `read` gives, which goes on after mistakes and lists them. Throws InputErrors for all.
template <class Read>
[[nodiscard]] auto without_mistakes(Read&& read) {
    ErrorList errors;
    std::optional<std::invoke_result_t<Read, ErrorList&>> result;
    errors.attempt([&] { result = read(errors); });
    errors.throw_if_any();
    return *std::move(result);
}

}  // namespace earbudget::files
