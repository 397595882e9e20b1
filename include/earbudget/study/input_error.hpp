#pragma once

#include <stdexcept>
#include <string>
#include <utility>

#include "earbudget/computing/source_position.hpp"

namespace earbudget {

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
