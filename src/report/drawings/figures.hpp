#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/measuring/measure.hpp"
#include "report/document.hpp"

namespace earbudget::report {

// Drawings with captions and numbers. `id` is unique in the document. None where there is nothing
// to draw. The numbers are those of the result; see data-… of each element.

/// What a person's day uses of each limit as it goes on, and when one is reached.
[[nodiscard]] std::vector<Drawing> allowance_figure(const std::string& id, const Plan& plan,
                                                    const PersonResult& person);

/// The sequence with the largest share in octave bands, outside and at the ear.
[[nodiscard]] std::vector<Drawing> spectrum_figure(const std::string& id, const Plan& plan,
                                                   const PersonResult& person);

/// What each sequence has of the sound energy at the ear.
[[nodiscard]] std::vector<Drawing> share_figure(const std::string& id, const Plan& plan,
                                                const PersonResult& person);

/// Everyone's margin to each limit, with its uncertainty; several drawings for many people.
[[nodiscard]] std::vector<Drawing> margin_figures(const std::string& id,
                                                  const Assessment& assessment);

/// What every method says of each thing that could be worn.
[[nodiscard]] std::vector<Drawing> spread_figure(const std::string& id, const Plan& plan,
                                                 const PersonChoice& choice);

/// LAeq of each second of a channel; `from` is where in its file the recording begins.
[[nodiscard]] std::vector<Drawing> history_figure(const std::string& id, std::string_view name,
                                                  const MeasuredChannel& channel, Seconds from);

}  // namespace earbudget::report
