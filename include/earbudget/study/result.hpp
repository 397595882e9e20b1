#pragma once

#include <exception>
#include <utility>
#include <variant>

#include "earbudget/acoustics/message.hpp"
#include "earbudget/computing/source_position.hpp"

namespace earbudget {

/// Something stated by the user that cannot be computed with: where, what is wrong and what is
/// accepted, without words, which whoever prints it has.
class Obstacle : public std::exception {
  public:
    Obstacle(SourcePosition position, Message says)
        : position_(std::move(position)), says_(std::move(says)) {}

    [[nodiscard]] const SourcePosition& position() const { return position_; }
    [[nodiscard]] const Message& says() const { return says_; }

  private:
    SourcePosition position_;
    Message says_;
};

/// What was asked for, or what stands in its way in what the user stated: a value either way, for
/// who decides something by it. Who cannot go on throws the obstacle (or_throw).
template <class Value>
class Result {
  public:
    Result(Value value) : held_(std::in_place_index<0>, std::move(value)) {}
    Result(Obstacle obstacle) : held_(std::in_place_index<1>, std::move(obstacle)) {}

    [[nodiscard]] explicit operator bool() const { return held_.index() == 0; }
    [[nodiscard]] const Value& operator*() const& { return std::get<0>(held_); }
    [[nodiscard]] Value& operator*() & { return std::get<0>(held_); }
    [[nodiscard]] Value&& operator*() && { return std::get<0>(std::move(held_)); }
    [[nodiscard]] const Value* operator->() const { return &std::get<0>(held_); }
    [[nodiscard]] Value* operator->() { return &std::get<0>(held_); }

    /// What stands in the way; only where there is no value.
    [[nodiscard]] const Obstacle& obstacle() const { return std::get<1>(held_); }

    /// The value; throws the obstacle where there is none.
    [[nodiscard]] Value or_throw() && {
        if (!*this) throw obstacle();
        return std::get<0>(std::move(held_));
    }

  private:
    std::variant<Value, Obstacle> held_;
};

}  // namespace earbudget
