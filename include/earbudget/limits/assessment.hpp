#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/day/exposure_day.hpp"
#include "earbudget/day/methods.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/limits/advice_code.hpp"
#include "earbudget/limits/day_course.hpp"
#include "earbudget/study/plan.hpp"
#include "earbudget/uncertainty/first_order.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

/// What is said of an exposure and a limit, from best to worst.
enum class Verdict {
    Within,
    /// Within by the best estimate, but over with more than the accepted probability, or by levels
    /// that nobody measured or took from a document (may_be_within).
    Close,
    Unknown,  ///< cannot be decided
    Over
};

inline constexpr auto verdicts = rows_of<NameRow<Verdict>>({
    {Verdict::Within, "within"},
    {Verdict::Close, "close"},
    {Verdict::Unknown, "unknown"},
    {Verdict::Over, "over"},
});

/// As written in JSON: "within", "close", "unknown", "over".
[[nodiscard]] constexpr std::string_view name_of(Verdict verdict) { return verdicts[verdict].name; }

/// One person's exposure against one limit.
struct CriterionResult {
    const Criterion* criterion;   ///< owned by the plan's person
    bool is_peak = false;         ///< against its limit on the peak, else on the exposure
    std::optional<double> value;  ///< none for a level without sound
    double limit = 0.0;
    bool at_ear = true;   ///< whether protectors were taken into account
    bool decides = true;  ///< whether the person's verdict hangs on it (decides, in judge.hpp)
    /// A peak that no card states, within by peak_bound: `value` is then what it is at most.
    bool by_bound = false;
    std::optional<LevelDifference> margin = std::nullopt;
    std::optional<double> probability_over = std::nullopt;
    std::size_t draws = 0;  ///< behind it; 0 where there are none
    /// What 95 % of people in such a day do not exceed, all errors counted, in the criterion's
    /// unit; none for peaks and without sound.
    std::optional<double> not_exceeded = std::nullopt;
    /// None for peaks, without sound, and where a threshold or a ceiling decides the margin.
    std::optional<MarginRange> margin_range = std::nullopt;
    /// Beside the draws: standard uncertainty by its parts; none for the highest hour and peaks.
    std::optional<FirstOrder> first_order = std::nullopt;
    Verdict verdict = Verdict::Unknown;
    /// The verdict with the protector poorly seated; none where nothing is worn.
    std::optional<Verdict> with_poor_fit = std::nullopt;
    /// Of a peak at the ear: the peak that counts then, as outside.
    std::optional<double> value_with_poor_fit = std::nullopt;
    std::vector<Message> remarks = {};
    /// Close for no other reason than that levels were guessed, declared or predicted
    /// (limits/unmeasured.hpp).
    bool limited_by_origin = false;
    /// Made for others than the person, of whose age no limit is known (lacks_limit_of_age), and
    /// not over: it decides nothing, and nothing is left to it.
    bool made_for_others = false;

    /// The verdict as best estimate and probability have it, wherever the levels come from.
    [[nodiscard]] Verdict by_probability() const {
        return limited_by_origin ? Verdict::Within : verdict;
    }
    /// As results name it: as name_of(ExposureQuantity), or "peak".
    [[nodiscard]] std::string_view quantity() const {
        return is_peak ? "peak" : name_of(criterion->quantity);
    }
    /// Whether values are in percent, else in decibels.
    [[nodiscard]] bool is_dose() const {
        return !is_peak && earbudget::is_dose(criterion->quantity);
    }
    /// As results name it: "percent" or "dB".
    [[nodiscard]] std::string unit() const {
        return is_peak ? "dB" : std::string(exposure_quantities[criterion->quantity].unit);
    }
};

/// What to do.
struct Advice {
    AdviceCode code;
    std::vector<Message> says = {};                           ///< a sentence each
    Message in_short = {};                                    ///< for a first answer; empty: says
    std::optional<std::size_t> row = std::nullopt;            ///< of the person's rows, to shorten
    std::optional<Seconds> seconds = std::nullopt;            ///< longest, best estimate within
    std::optional<Seconds> confident_seconds = std::nullopt;  ///< longest, confidently
    std::vector<std::string> wears = {};                      ///< to be worn instead
    /// How many runs of the row, sessions a day or days; for the best estimate and confidently.
    std::optional<unsigned> count = std::nullopt, confident_count = std::nullopt;
    std::optional<unsigned> days = std::nullopt;  ///< over which to spread
    /// More reduction at the ear than now; for the best estimate and confidently.
    std::optional<LevelDifference> reduction = std::nullopt, confident_reduction = std::nullopt;
    std::optional<std::size_t> position = std::nullopt;  ///< to stand at instead
};

/// One row at the outside and at the ear, with its share of the sound energy of the day.
struct SegmentResult {
    ExposureRow row;
    LevelDifference reduction;
    double share_percent = 0.0;
    /// How many more runs of it alone fit into every session with no limit over with more than the
    /// accepted probability; none for what is no sequence.
    std::optional<unsigned> repeats_left = std::nullopt;
    /// The same by the best estimate, never fewer.
    std::optional<unsigned> repeats_left_best_estimate = std::nullopt;
};

/// The exposure of one day; levels are none without sound.
struct DayExposure {
    Seconds time{0.0};
    std::optional<LevelA> LAeq = std::nullopt;
    std::optional<LevelA> at_ear_LAeq = std::nullopt;
    std::optional<LevelA> at_ear_LAeq_1h = std::nullopt;
    std::optional<LevelA> LEX_8h = std::nullopt;
    std::optional<LevelA> at_ear_LEX_8h = std::nullopt;
    double at_ear_Pa2h = 0.0;
};

[[nodiscard]] DayExposure exposure_of(const ExposureDay& day);

/// What one sequence, or one task, has of the sound energy at the ear in a day.
struct Share {
    std::optional<std::size_t> sequence = std::nullopt;  ///< none with no task: rests
    std::optional<std::size_t> task = std::nullopt;
    double percent = 0.0;
    /// By how much LEX,8h at the ear falls without it; none where nothing would be left.
    std::optional<LevelDifference> drop = std::nullopt;
};

/// One change and by how much LEX,8h at the ear falls by it.
struct Change {
    Message says;
    LevelDifference drop;
};

/// All that is said of one person.
struct PersonResult {
    const Person* person;  ///< owned by the plan
    /// By which most of the energy was predicted; none: nothing worn, or nothing reached.
    std::optional<Method> method = std::nullopt;
    Derating derating = {};  ///< as applied
    std::vector<SegmentResult> segments = {};
    DayExposure exposure = {};
    std::vector<CriterionResult> criteria = {};
    bool people_spread_unknown = false;     ///< of something worn, so that none is counted
    bool people_spread_by_default = false;  ///< where a label alone is known
    /// The verdict well seated with what Person::instead says; none where it says nothing.
    std::optional<Verdict> instead = std::nullopt;
    std::vector<Message> unmeasured = {};      ///< unmeasured_in (limits/unmeasured.hpp)
    std::vector<Message> examples = {};        ///< examples_in (limits/unmeasured.hpp)
    std::vector<std::string> not_judged = {};  ///< ids whose peak limit is unknown, no peak stated
    Verdict verdict = Verdict::Unknown;  ///< the worst of the criteria that decide, else unknown
    std::vector<Advice> advice = {};

    std::vector<MethodOutcome> methods = {};  ///< what every method says that the data allow
    std::optional<LevelA> while_scanning = std::nullopt;  ///< at the ear, average over sequences
    std::optional<IntercomAtEar> intercom = std::nullopt;
    /// The day's exposure at the ear with the protector poorly seated; none where nothing is worn.
    std::optional<LevelA> poor_fit_LEX_8h = std::nullopt;
    std::vector<Share> sequence_shares = {};  ///< largest first
    std::vector<Share> task_shares = {};      ///< largest first; empty without tasks
    /// The single change of those in reach that lowers the exposure most; none where none does.
    std::optional<Change> largest_change = std::nullopt;
    /// Sound exposure at the ear over all visits of the study, Pa²h; none where not stated.
    std::optional<double> study_Pa2h = std::nullopt;
    /// What the day uses of each limit as it goes on, and the bands of what has most of its energy;
    /// empty where `assess` was to leave them out.
    DayCourse course = {};
    std::optional<EarSpectrum> spectrum = std::nullopt;
    /// How all of it came about; null where that was not asked for.
    std::shared_ptr<const Working> working = nullptr;

    /// Whether the verdict is close for no other reason than CriterionResult::limited_by_origin.
    [[nodiscard]] bool is_limited_by_origin() const;
};

/// Whether an exposure limit cannot be decided, since no method reaches something under what is
/// worn.
[[nodiscard]] bool hangs_on_unreached(const PersonResult& result);

/// The answer to a plan. Points into the plan, which must outlive it.
struct Assessment {
    const Plan* plan;
    std::vector<PersonResult> people = {};
    std::vector<Warning> warnings = {};

    /// The worst of all people.
    [[nodiscard]] Verdict verdict() const;
};

}  // namespace earbudget
