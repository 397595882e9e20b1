#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/day/exposure_day.hpp"

namespace earbudget {

/// The sequence that a row is of; empty without one.
[[nodiscard]] std::vector<std::string> topics_of(const Plan& plan, const ExposureRow& row);

/// What a row is, for people: sequence or rest, with position or task.
[[nodiscard]] Message words_of(const Plan& plan, const Person& person, const ExposureRow& row);

/// Leaves how every distinct sound of a day came to the ear: position, prediction, fit, wearing
/// time.
void leave_levels(const Plan& plan, const Person& person, const ExposureDay& day, Trace& trace);

/// Calls for every part of a day's rows, each with its time in all sessions of so many days.
template <class Use>
void for_each_part(const ExposureDay& day, ExposureAt as, double days, const Use& use) {
    for (const ExposureRow& row : day.rows) {
        std::vector<ExposurePart> parts;
        add_parts(row, as, parts);
        for (ExposurePart& part : parts) {
            part.time *= days * static_cast<double>(day.times_a_day(row));
            use(row, part);
        }
    }
}

/// A step over these.
[[nodiscard]] WorkingStep over_rows(const Plan& plan, const Person& person, const ExposureDay& day,
                                    ExposureAt as, StepOf step, const WorkingValue& result,
                                    const std::string& unit, double days = 1.0);

/// Adds the rows that lie in a stretch of an hour, each with its time in it.
void add_rows_between(const Plan& plan, const Person& person, const ExposureDay& day, ExposureAt as,
                      const LoudestStretch& stretch, StepOf& step);

/// LEX,8h at the ear of a day.
[[nodiscard]] WorkingStep daily_exposure_step(const Plan& plan, const Person& person,
                                              const ExposureDay& day, Message what,
                                              std::vector<std::string> of);

}  // namespace earbudget
