#pragma once

#include <string>
#include <vector>

#include "day/protected_rows.hpp"

namespace earbudget {

/// One person's day as several methods have it, each with the levels alone: what day_or_obstacle
/// says beside them nobody reads where all methods are gone through.
class LevelsByMethod {
  public:
    /// All of it outlives this.
    LevelsByMethod(const Plan& plan, const Person& person, const std::vector<std::string>& wears,
                   const Wearing& wearing);

    /// The day as day_or_obstacle has it, but for warnings and what is not reached, until the next
    /// one is asked for; null where an obstacle stands in the way, or where a sequence that is
    /// heard with something worn is not reached.
    [[nodiscard]] const ExposureDay* by(const AskedOfPerson& asked);

  private:
    [[nodiscard]] bool wear(const AskedOfPerson& asked, const std::vector<std::string>& wears,
                            const Wearing& wearing, std::optional<std::size_t> task);

    const Plan& plan_;
    const Person& person_;
    const std::vector<std::string>& wears_;
    const Wearing& wearing_;
    bool obstacle_ = false;
    ExposureDay day_;
};

}  // namespace earbudget
