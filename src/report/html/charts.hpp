#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/allowance_course.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/measuring/measure.hpp"

namespace earbudget::report::html {

// Each a figure: caption, drawing, and its numbers as a table that unfolds. `id` is unique on the
// page. Empty where there is nothing to draw. The numbers are those of the result; see data-… of
// each element.

/// What a person's day uses of each limit as it goes on, and when one is reached.
[[nodiscard]] std::string allowance_figure(std::string_view id, const Plan& plan,
                                           const PersonResult& person, const DayCourse& course);

/// The sequence with the largest share in octave bands, outside and at the ear.
[[nodiscard]] std::string spectrum_figure(std::string_view id, const Plan& plan,
                                          const PersonResult& person);

/// What each sequence has of the sound energy at the ear.
[[nodiscard]] std::string share_figure(std::string_view id, const Plan& plan,
                                       const PersonResult& person);

/// Everyone's margin to each limit, with its uncertainty.
[[nodiscard]] std::string margin_figure(std::string_view id, const Assessment& assessment);

/// What every method says of each thing that could be worn.
[[nodiscard]] std::string spread_figure(std::string_view id, const Plan& plan,
                                        const PersonChoice& choice);

/// LAeq of each second of a channel; `from` is where in its file the recording begins.
[[nodiscard]] std::string history_figure(std::string_view id, std::string_view name,
                                         const MeasuredChannel& channel, Seconds from);

/// A figure: caption text, drawing, a table that unfolds (markup, possibly empty).
[[nodiscard]] std::string figure(std::string_view caption, std::string_view drawing,
                                 std::string_view table);

}  // namespace earbudget::report::html
