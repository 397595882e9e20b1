#pragma once

#include <stdexcept>
#include <string>
#include <utility>

#include "earbudget/study/file_name.hpp"

namespace earbudget {

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

}  // namespace earbudget
