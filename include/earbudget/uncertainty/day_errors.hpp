#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/computing/rows.hpp"
#include "earbudget/computing/solver.hpp"
#include "earbudget/day/exposure_day.hpp"
#include "earbudget/day/exposure_row.hpp"
#include "earbudget/protection/people_spread.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget {

/// The errors of one sound that a level holds.
struct SoundErrors {
    std::string name;               ///< of the sequence, "background", "other noise"
    StatedUncertainty uncertainty;  ///< stated, or by default
    UncertaintyParts parts;
    std::string measurement;          ///< sounds with the same text share instrument and microphone
    LevelDifference sampling{0.0};    ///< that few measurements leave
    LevelDifference difference{0.0};  ///< of the position
    std::string place = {};           ///< sounds with the same text share it
    double share = 1.0;  ///< of the energy of the level, which has so much of the errors
};

/// What a row's position says, its door as during the row's task; the row must have one.
[[nodiscard]] const Transmission& transmission_to(const Plan& plan, const Person& person,
                                                  const ExposureRow& row);

/// Of the level outside the protector, but for ExposureRow::unreduced: a sequence and, at a
/// position, the background there that is added to it. Empty for a row without sound.
[[nodiscard]] std::vector<SoundErrors> level_errors_of(const Plan& plan, const Person& person,
                                                       const ExposureRow& row);

/// Standard uncertainty of a row's own sound at its place, of the level as of the peak: of what
/// states the peak, no background.
[[nodiscard]] LevelDifference uncertainty_of_sound(const Plan& plan, const Person& person,
                                                   const ExposureRow& row);

/// Of ExposureRow::unreduced, which the row must have.
[[nodiscard]] SoundErrors errors_of_unreduced(const Plan& plan, const Person& person,
                                              const ExposureRow& row);

/// Rows of a day that last a fixed time and a part of one time T that varies: fixed + part·T.
struct VariableTimes {
    std::vector<Seconds> fixed;
    std::vector<double> part;

    [[nodiscard]] std::vector<Seconds> lasting(Seconds time) const;
};

/// Lets one row alone vary.
[[nodiscard]] VariableTimes one_row(const ExposureDay& day, std::size_t row);

/// Lets the rows with a sequence vary in proportion, T being their time together.
[[nodiscard]] VariableTimes all_sequences(const ExposureDay& day);

/// How long the rows with a sequence last together in a session.
[[nodiscard]] Seconds time_of_sequences(const ExposureDay& day);

/// The times T below `most` with which an hour fits exactly between two row ends of the day: only
/// there can the highest hour begin to rise or fall otherwise.
[[nodiscard]] std::vector<Seconds> times_of_whole_hours(const VariableTimes& variable,
                                                        const std::vector<std::size_t>& course,
                                                        Seconds most);

/// How near the longest time is found where a highest hour decides: less than what is rounded off.
inline constexpr Tolerance<Seconds> near_in_time{Seconds(1e-5)};

/// The time rounded down to a thousandth of a second, so that what is printed still keeps the
/// limit; what is not bounded by a limit stays as it is.
[[nodiscard]] Seconds rounded_down(Seconds time, Seconds most);

/// Where an error of a day comes from.
enum class ErrorKind {
    Instrument,   ///< or another source: shared by all that one measurement or document gave
    Microphone,   ///< position of the microphone, shared there too
    Run,          ///< drawn anew for each row of the timeline in each session
    Sampling,     ///< of the few measurements of a task's noise, one draw a task
    Duration,     ///< of a task's time, a fraction of it, one draw a task
    Difference,   ///< of a position, shared by all rows there
    People,       ///< attenuation between people, one draw a person
    Fit,          ///< of one insertion
    WearingTime,  ///< of one day
    Spectrum,     ///< of a reduction found without the sound's own spectrum, one draw a day
};

inline constexpr auto error_kinds = rows_of<NameRow<ErrorKind>>({
    {ErrorKind::Instrument, "instrument or source of the level"},
    {ErrorKind::Microphone, "microphone position"},
    {ErrorKind::Run, "run to run"},
    {ErrorKind::Sampling, "sampling of a task's level"},
    {ErrorKind::Duration, "duration of a task"},
    {ErrorKind::Difference, "difference of the position"},
    {ErrorKind::People, "attenuation between people"},
    {ErrorKind::Fit, "fit of the individual"},
    {ErrorKind::WearingTime, "wearing time"},
    {ErrorKind::Spectrum, "spectrum not known"},
});

/// The name in reports: "microphone position", "run to run", …
[[nodiscard]] constexpr std::string_view name_of(ErrorKind kind) { return error_kinds[kind].name; }

/// A standard normal variable, and the stream that its draws come from.
struct ErrorVariable {
    ErrorKind kind;
    std::uint64_t stream;
    /// Its direction in a lattice of draws: those that matter most come first (own choice: people,
    /// wearing time, then by the largest size), whatever the order of rows and cards.
    std::size_t direction = 0;
};

/// An error: so many decibels (or, of the wearing time, a fraction) for each standard deviation of
/// a variable, which other errors may share.
struct ErrorTerm {
    std::size_t variable;
    double size;

    bool operator==(const ErrorTerm&) const = default;
};

/// What a protector does in one segment.
struct SegmentProtection {
    /// By the policy's method, possibly below 0: only what is met in the end is held at 0.
    LevelDifference reduction;
    bool poor_fit = false;                             ///< then at most 10 dB (reduction_as_fitted)
    std::optional<std::size_t> people = std::nullopt;  ///< variable of `spread`
    const PeopleSpread* spread = nullptr;              ///< null: none known
    std::optional<ErrorTerm> fit = std::nullopt;
    std::optional<ErrorTerm> spectrum = std::nullopt;  ///< of a reduction without own bands or LC
    double fraction_worn = 1.0;
    std::optional<ErrorTerm> wearing_time = std::nullopt;

    bool operator==(const SegmentProtection&) const = default;
};

/// Time of a day with one sound and one set of errors: rows alike are one segment.
struct Segment {
    LevelA outside;                                  ///< but for what is added unreduced
    std::vector<ErrorTerm> errors = {};              ///< of that level
    std::optional<LevelA> unreduced = std::nullopt;  ///< added at the ear (ExposureRow::unreduced)
    std::vector<ErrorTerm> errors_of_unreduced = {};
    /// Of the time, a fraction of it for each standard deviation; none: as the plan says.
    std::optional<ErrorTerm> duration = std::nullopt;
    /// None where nothing is worn, nor could be, or where it counts unreduced.
    std::optional<SegmentProtection> protection = std::nullopt;

    bool operator==(const Segment&) const = default;
};

/// The errors of a person's day, and which rows share them.
struct DayErrors {
    std::vector<ErrorVariable> variables = {};
    std::vector<Segment> segments = {};
    std::vector<std::shared_ptr<const PeopleSpread>> spreads = {};
    /// The segments of each row by session; empty for a row without sound. Sessions beyond share
    /// the errors of those before, in turn.
    std::vector<std::vector<std::size_t>> segments_of_row = {};
    /// Whether something is worn for which no spread between people is known, so that none counts.
    bool people_spread_unknown = false;
    /// Whether the default spread counts for something (PeopleSpread::by_default).
    bool people_spread_by_default = false;

    [[nodiscard]] std::optional<std::size_t> segment_of(std::size_t row, unsigned session) const {
        const auto& segments_there = segments_of_row[row];
        if (segments_there.empty()) return std::nullopt;
        return segments_there[session % segments_there.size()];
    }
};

/// Finds the errors of a day of the person as `day_exposure` or `day_exposure_through` gives it.
[[nodiscard]] DayErrors errors_of_day(const Plan& plan, const Person& person,
                                      const ExposureDay& day);

}  // namespace earbudget
