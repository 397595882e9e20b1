#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <vector>

#include "earbudget/day/exposure_day.hpp"
#include "earbudget/study/plan.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

/// A day of somebody at one visit, and on how many days it is so.
struct DayOfVisit {
    const Plan* plan;
    const Person* person;
    const ExposureDay* day;
    unsigned times = 1;
};

/// Several days as one, for what adds up over them whatever their order: doses and LEX.
struct JoinedDays {
    ExposureDay day;  ///< all rows with all their times, in one session
    std::shared_ptr<const DayErrors> errors;
};

/// Joins the days of one person.
///
/// What a measurement or document, a position, a task's time or the person's own ears bring is
/// common to all days and does not average out: an error of the same kind and name is one variable.
/// Runs, insertions and the fraction of the time worn are another day's own (ErrorKind::Run, Fit,
/// WearingTime). Days that are alike share these too, as all days of `days_per_week` do, so that a
/// visit n times is a plan with n days a week: on the safe side, own choice.
[[nodiscard]] JoinedDays join_days(const std::vector<DayOfVisit>& days);

/// Puts parts of a person's time together one by one, in their order: rows whose errors are known
/// and which of these other parts share.
class DayJoiner {
  public:
    /// The stream that an error of a part has among all parts: the same is the same error.
    using StreamOf = std::function<std::uint64_t(const ErrorVariable&)>;
    using Wanted = std::function<bool(const ExposureRow&)>;

    /// How rows are added.
    struct Adding {
        double factor = 1.0;      ///< by what their times are multiplied
        Wanted wanted = nullptr;  ///< which of them; null: all
        /// What sounds alike with the same errors is one segment, wherever it stands: it costs less
        /// to draw, and sums change by rounding alone.
        bool merges = false;
    };

    void add(const ExposureDay& day, const DayErrors& errors, const StreamOf& stream_of) {
        add(day, errors, stream_of, Adding());
    }
    void add(const ExposureDay& day, const DayErrors& errors, const StreamOf& stream_of,
             const Adding& how);

    /// Time without sound.
    void add_silence(Seconds time);

    /// All of it, as one session.
    [[nodiscard]] JoinedDays take() &&;

  private:
    class Part;
    [[nodiscard]] std::size_t place_of(const ErrorVariable& variable, const StreamOf& stream_of);
    [[nodiscard]] std::size_t place_of(Segment segment, bool merges);

    ExposureDay day_ = {};
    DayErrors errors_ = {};
    std::map<std::uint64_t, std::size_t> known_ = {};  ///< variables by stream
    std::multimap<double, std::size_t> alike_ = {};    ///< segments by their level outside
};

}  // namespace earbudget
