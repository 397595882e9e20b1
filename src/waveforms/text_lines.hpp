#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/study/input_error.hpp"
#include "files/open_file.hpp"

namespace earbudget::waveforms {

/// Longest line of a waveform's file, in bytes; own choice: a hundred numbers take 2000.
inline constexpr std::size_t longest_line = 10'000;

/// Where a line begins.
struct LinePlace {
    std::uint64_t offset = 0;  ///< bytes from the file's beginning
    unsigned line = 1;
};

/// The lines of an open file one after another, read in windows; the file must outlive this.
class TextLines {
  public:
    explicit TextLines(const files::OpenFile& file, LinePlace begin = {});
    TextLines(const TextLines&) = delete;
    TextLines& operator=(const TextLines&) = delete;

    /// Has the next line be the one that begins there.
    void go_to(LinePlace place);

    /// Goes to the next line; false at the end. Throws InputError for one that is too long, holds a
    /// zero byte or cannot be read, and where line numbers end.
    [[nodiscard]] bool next();

    /// The line without its end, as it stands.
    [[nodiscard]] std::string_view text() const { return text_; }
    [[nodiscard]] LinePlace place() const { return place_; }
    [[nodiscard]] const FileName& file_name() const { return name_; }

    /// Where something in the line stands that begins at a byte of it, from 0.
    [[nodiscard]] SourcePosition at(std::size_t byte = 0) const;

  private:
    void fill();

    const files::OpenFile& file_;
    FileName name_;
    std::vector<char> window_;
    std::size_t begin_ = 0, end_ = 0;  ///< of what is in the window and was not taken
    std::uint64_t read_to_;
    LinePlace place_, next_;
    std::string_view text_;
};

/// The words of a line, which blanks and tabs part, taken one by one as what they should be. Every
/// refusal is an InputError at the word's place with `accepted`.
class Words {
  public:
    /// `accepted` is the whole row: "id, amplitude, rise, flat, fall, delay".
    Words(const TextLines& lines, std::string_view accepted);

    /// The next word; none at the end.
    [[nodiscard]] std::optional<std::string_view> next();
    /// The next word, which must be there.
    [[nodiscard]] std::string_view word(std::string_view what);
    /// A finite number from `lowest` to `highest`.
    [[nodiscard]] double number(std::string_view what, double lowest, double highest);
    /// A whole number from `lowest` to `highest`.
    [[nodiscard]] std::int64_t whole(std::string_view what, std::int64_t lowest,
                                     std::int64_t highest);
    /// Refuses what more there is.
    void end();

    /// The column of the word taken last, from 1.
    [[nodiscard]] unsigned column() const { return static_cast<unsigned>(last_ + 1); }
    [[nodiscard]] SourcePosition place() const { return lines_.at(last_); }
    /// Refuses the word taken last.
    [[noreturn]] void refuse(const std::string& what, std::string_view accepted) const;

  private:
    const TextLines& lines_;
    std::string_view accepted_;
    std::size_t at_ = 0;
    std::size_t last_ = 0;
};

/// A number as it is written, finite; none for anything else. What is too small to be told from
/// zero is zero.
[[nodiscard]] std::optional<double> finite_number(std::string_view word);

/// A word for a message: not longer than anybody would read.
[[nodiscard]] std::string shown(std::string_view word);

}  // namespace earbudget::waveforms
