#pragma once

#include <array>
#include <optional>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "sessions/windows.hpp"

namespace earbudget::sessions {

inline constexpr std::array all_windows = {Window::Day, Window::Hour, Window::SevenDays,
                                           Window::CalendarWeek};

/// What was heard in a window, and which criteria of a person are asked of it, by index.
struct AskedWindow {
    Window window;
    std::vector<Heard> parts;
    std::vector<std::size_t> criteria = {};
};

/// The person as judged in a role by all that was recorded: the criteria of every record in that
/// role, the least probability that any of them accepts, the age that most is asked of. None where
/// nothing was recorded in that role.
[[nodiscard]] std::optional<Person> judged_as(std::span<const Heard> parts, Role role);

/// The same by windows: each criterion by what was recorded in its own, and by what is asked about.
[[nodiscard]] std::optional<Person> judged_in(const std::vector<AskedWindow>& windows,
                                              std::span<const Heard> asked_about, Role role);

/// The same by LEX,w alone of every criterion whose text lets it stand for the daily level, whether
/// or not the policy does (2003/10/EC, article 3(3)): what uneven days come to in a calendar week.
[[nodiscard]] std::optional<Person> averaged_in(const AskedWindow& week, Role role);

/// The exposure limits by window, without those of which none is asked; where the hours hold no
/// more than the day, both are one question in the order of time.
[[nodiscard]] std::vector<AskedWindow> questions_of(const std::vector<AskedWindow>& windows,
                                                    const Person& person);

/// The person with some of the criteria, and of these with those that decide.
[[nodiscard]] Person with_criteria(const Person& person, const std::vector<std::size_t>& which);
[[nodiscard]] Person with_deciding(const Person& person, const std::vector<std::size_t>& which);

/// The draws of the newest record.
[[nodiscard]] DrawSettings draws_of(std::span<const Heard> parts);

}  // namespace earbudget::sessions
