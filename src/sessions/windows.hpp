#pragma once

#include <map>
#include <optional>
#include <span>
#include <tuple>
#include <utility>
#include <vector>

#include "earbudget/acoustics/message.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/uncertainty/joined_days.hpp"
#include "sessions/heard.hpp"

namespace earbudget::sessions {

/// Over which time a criterion counts what was heard.
enum class Window {
    Day,  ///< a local day: daily doses, LEX,8h, the loudest part, peaks
    /// The hours of a day: an hour counts for the day in which its middle lies, so that one across
    /// midnight is counted once (own choice), and the parts within it run on whatever the calendar.
    Hour,
    /// The day and the six before it: weekly doses. H.870 names 1.6 Pa²h in 7 days, of no certain
    /// beginning (memory), and a plan's own weekly dose says nothing: the safe side, since no
    /// calendar week holds more than the heaviest seven days in a row.
    SevenDays,
    /// Monday to Sunday of the day (ISO 8601): LEX,w, which 2003/10/EC, article 2(c), takes over a
    /// nominal week of five working days by ISO 1999 (memory).
    CalendarWeek
};

[[nodiscard]] Window window_of(const Criterion& criterion);

/// The window of a day.
[[nodiscard]] Span span_of(Window window, LocalDay day, const Calendar& calendar);

/// What of somebody's time lies in a span, in order: parts that begin before or end after it are
/// cut there and stay the same run, with the same errors.
[[nodiscard]] std::vector<Heard> cut_to(const Span& span, const std::vector<Heard>& parts);

/// How parts are put together.
enum class Order {
    Any,    ///< for sums
    InTime  ///< with the silence between them, for the highest hour; parts at once one after the
            ///< other
};

/// Puts parts together as one day, in their order. What a measurement, a position, a task's time or
/// the person's ears bring is common to all and does not average out; runs, insertions and the
/// fraction of time worn are a run's, a session's and a day's own.
class PartJoiner {
  public:
    PartJoiner(const Calendar& calendar, Order order) : calendar_(calendar), order_(order) {}

    /// Where its level is not known nothing is added.
    void add(const Heard& part);
    [[nodiscard]] JoinedDays take() && { return std::move(joiner_).take(); }

  private:
    /// The number of a thing in the order in which things come, so that days alike are alike to the
    /// draws too.
    template <class Thing>
    class Numbered {
      public:
        [[nodiscard]] std::size_t operator()(const Thing& thing) {
            return numbers_.try_emplace(thing, numbers_.size()).first->second;
        }

      private:
        std::map<Thing, std::size_t> numbers_ = {};
    };
    [[nodiscard]] DayJoiner::StreamOf streams_of(const Heard& part);

    const Calendar& calendar_;
    Order order_;
    DayJoiner joiner_ = {};
    std::optional<Instant> end_ = std::nullopt;
    Numbered<std::pair<std::int64_t, std::int64_t>> insertions_ = {};
    Numbered<std::tuple<std::int64_t, std::int64_t, std::int64_t>> runs_ = {};
    Numbered<LocalDay> days_ = {};
};

[[nodiscard]] JoinedDays join(std::span<const Heard> parts, const Calendar& calendar, Order order);

/// The sequences heard whose levels nobody measured (unmeasured_in), each once.
[[nodiscard]] std::vector<Message> unmeasured_in(std::span<const Heard> parts);

/// The peaks of all parts as a kind of limit looks at them, each sound once.
[[nodiscard]] std::vector<RowPeak> peaks_in(std::span<const Heard> parts, const PeakLimit& limit);

/// Whether how loud some part was is not known.
[[nodiscard]] bool is_any_unknown(std::span<const Heard> parts);

}  // namespace earbudget::sessions
