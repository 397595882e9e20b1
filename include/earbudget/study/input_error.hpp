#pragma once

#include <memory>
#include <stdexcept>
#include <string>
#include <utility>

namespace earbudget {

/// The name of a file as it was given, stored once however much was stated in the file: every datum
/// carries one. It never changes, and compares as text; the one made of nothing is empty.
class FileName {
  public:
    FileName() = default;
    FileName(std::string name)  // NOLINT: a name is a text
        : text_(std::make_shared<const std::string>(std::move(name))) {}
    FileName(const char* name) : FileName(std::string(name)) {}  // NOLINT: as above

    [[nodiscard]] const std::string& text() const {
        static const std::string none;
        return text_ ? *text_ : none;
    }
    operator const std::string&() const { return text(); }  // NOLINT: it is read as one
    [[nodiscard]] bool empty() const { return text().empty(); }

    friend bool operator==(const FileName& a, const FileName& b) {
        return a.text_ == b.text_ || a.text() == b.text();
    }
    friend auto operator<=>(const FileName& a, const FileName& b) { return a.text() <=> b.text(); }

  private:
    std::shared_ptr<const std::string> text_;
};

/// Where something was stated: a file, and in text files the line and column, both from 1.
struct SourcePosition {
    FileName file;
    unsigned line = 1;
    unsigned column = 1;

    /// "FILE:LINE:COLUMN", as compilers write it.
    [[nodiscard]] std::string text() const {
        return file.text() + ':' + std::to_string(line) + ':' + std::to_string(column);
    }

    bool operator==(const SourcePosition&) const = default;
};

/// Something stated by the user that cannot be computed with: what is wrong, and what is accepted.
class InputError : public std::runtime_error {
  public:
    InputError(SourcePosition position, const std::string& message)
        : std::runtime_error(position.text() + ": " + message),
          position_(std::move(position)),
          message_(message) {}

    [[nodiscard]] const SourcePosition& position() const { return position_; }
    /// Without the place.
    [[nodiscard]] const std::string& message() const { return message_; }

  private:
    SourcePosition position_;
    std::string message_;
};

/// Something in a file that could have been meant otherwise, and what it was taken as: a warning of
/// whatever is computed from it.
struct ReadingNote {
    std::string code;
    std::string text;
    SourcePosition where;
};

}  // namespace earbudget
