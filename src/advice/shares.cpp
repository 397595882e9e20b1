#include <algorithm>
#include <cmath>
#include <map>

#include "advice/advising.hpp"
#include "day/traced_day.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/phrases.hpp"
#include "earbudget/exposure/exposure_part.hpp"

namespace earbudget {

namespace {

constexpr Formula over_the_study{"E = visits · E of a day", "the plan's visits; sum"};
constexpr Formula change_of_the_day{"drop = LEX,8h now − LEX,8h with the change", "difference"};
constexpr Formula sum_of_shares{"Σ of the shares of its rows", "sum"};

double energy_of(const ExposureDay& day, const ExposureRow& row) {
    if (!row.at_ear) return 0.0;
    return relative_energy(*row.at_ear) * row.time.count() *
           static_cast<double>(day.times_a_day(row));
}

double energy_of(const ExposureDay& day) {
    double all = 0.0;
    for (const ExposureRow& row : day.rows)
        all += energy_of(day, row);
    return all;
}

void complete(std::vector<Share>& shares, const std::vector<double>& energies, double all) {
    for (std::size_t i = 0; i < shares.size(); ++i) {
        const double part = all > 0.0 ? energies[i] / all : 0.0;
        shares[i].percent = 100.0 * part;
        if (part < 1.0) shares[i].drop = LevelDifference(-10.0 * std::log10(1.0 - part));
    }
    std::ranges::stable_sort(shares, std::ranges::greater(), &Share::percent);
}

template <class Key>
std::vector<Share> shares_by(const ExposureDay& day, Key key) {
    std::vector<Share> shares;
    std::vector<double> energies;
    std::map<std::optional<std::size_t>, std::size_t> known;
    for (const ExposureRow& row : day.rows) {
        const auto [place, is_new] = known.emplace(key(row), shares.size());
        if (is_new) {
            shares.emplace_back();
            energies.push_back(0.0);
        }
        energies[place->second] += energy_of(day, row);
    }
    for (const auto& [value, index] : known)
        shares[index].sequence = value;
    complete(shares, energies, energy_of(day));
    return shares;
}

class Changes {
  public:
    explicit Changes(std::optional<LevelA> now) : now_(now) {}

    void consider(Message says, std::optional<LevelDifference> drop) {
        if (drop && *drop > LevelDifference(0.05) && (!best_ || *drop > best_->drop)) {
            best_ = Change{std::move(says), *drop};
        }
    }
    void consider(Message says, const ExposureDay& instead) {
        consider(std::move(says), daily_exposure_level(instead.at_ear()));
    }
    void consider(Message says, std::optional<LevelA> then) {
        if (now_ && then) consider(std::move(says), *now_ - *then);
    }
    [[nodiscard]] const std::optional<Change>& best() const { return best_; }

  private:
    std::optional<LevelA> now_;
    std::optional<Change> best_;
};

Message without_task(const Plan& plan, const Task& task, std::size_t index) {
    if (!task.title.empty()) return say<ChoicePhrase::WithoutTask>(task.title);
    if (task.position) return say<ChoicePhrase::WithoutTimeAt>(plan.positions[*task.position].id);
    return say<ChoicePhrase::WithoutTaskNumber>(task.levels.has_value(), index + 1);
}

}  // namespace

std::vector<Share> shares_of_sequences(const ExposureDay& day) {
    return shares_by(day, [](const ExposureRow& row) { return row.sequence; });
}

std::vector<Share> shares_of_tasks(const ExposureDay& day) {
    const bool any =
        std::ranges::any_of(day.rows, [](const ExposureRow& row) { return !!row.task; });
    if (!any) return {};
    auto shares = shares_by(day, [](const ExposureRow& row) { return row.task; });
    for (Share& share : shares) {
        share.task = share.sequence;
        share.sequence = std::nullopt;
    }
    return shares;
}

std::optional<Change> largest_change(const Plan& plan, const Person& person, const ExposureDay& day,
                                     const Candidates& candidates) {
    Changes changes(daily_exposure_level(day.at_ear()));
    for (const Share& share : shares_of_sequences(day)) {
        if (!share.sequence) continue;
        changes.consider(say<ChoicePhrase::Without>(plan.sequences[*share.sequence].id),
                         share.drop);
    }
    for (const Share& share : shares_of_tasks(day)) {
        if (!share.task) continue;
        changes.consider(without_task(plan, person.tasks[*share.task], *share.task), share.drop);
    }
    if (day.sessions > 1) {
        ExposureDay one = day;
        one.sessions = 1;
        changes.consider(say<ChoicePhrase::OneSessionADay>(), one);
    }
    if (!person.wears.empty() && person.wearing.fraction_of_time < 1.0) {
        changes.consider(say<ChoicePhrase::WornAllTheTime>(),
                         day_exposure(plan, person, person.wears, {1.0, person.wearing.poor_fit}));
    }
    for (const Candidate& candidate : candidates.tried) {
        changes.consider(
            say<ChoicePhrase::WearingInstead>(candidate.wears, !candidate.stated_metal_free),
            candidate.at_ear_LEX_8h);
    }
    std::optional<Change> best = changes.best();
    if (best && candidates.left_out > 0) {
        best->says = say<ChoicePhrase::LargestOfTried>(best->says, candidates.left_out);
    }
    return best;
}

namespace {

void leave_list(const Plan& plan, const std::vector<Share>& shares, const std::string& list,
                const PersonResult& result, Trace& trace) {
    for (std::size_t n = 0; n < shares.size(); ++n) {
        const Share& share = shares[n];
        const Trace::About about(trace, share.sequence
                                            ? std::vector{plan.sequences[*share.sequence].id}
                                            : std::vector<std::string>());
        StepOf step(say<StepPhrase::ShareOfList>(list, n + 1),
                    {key_of("drivers." + list, n, "share_percent")}, sum_of_shares);
        step.columns({"row", "share_percent"});
        for (std::size_t i = 0; i < result.segments.size(); ++i) {
            const ExposureRow& row = result.segments[i].row;
            const bool of_it =
                list == "tasks" ? row.task == share.task : row.sequence == share.sequence;
            if (of_it) step.row(i + 1, result.segments[i].share_percent);
        }
        trace.leave(step.is(share.percent, "percent"));
        trace.leave(StepOf(say<StepPhrase::DropWithout>(list, n + 1),
                           {key_of("drivers." + list, n, "drop_without_it_dB")}, formula_of_drop)
                        .value("share_percent", share.percent)
                        .is(share.drop, "dB"));
    }
}

void leave_change(const PersonResult& result, Trace& trace) {
    const auto& now = result.exposure.at_ear_LEX_8h;
    if (!result.largest_change || !now) return;
    const Change& change = *result.largest_change;
    trace.leave(StepOf(say<StepPhrase::LargestChange>(change.says),
                       {"drivers.largest_change.drop_dB"}, change_of_the_day)
                    .value("LEX_8h_now_dB", now)
                    .value("LEX_8h_then_dB", *now - change.drop)
                    .is(change.drop, "dB"));
}

std::vector<SegmentResult> segments_of(const ExposureDay& day) {
    std::vector<SegmentResult> segments;
    const double all = energy_of(day);
    segments.reserve(day.rows.size());
    for (const ExposureRow& row : day.rows) {
        SegmentResult segment{.row = row, .reduction = LevelDifference(0.0)};
        if (row.at_ear) segment.reduction = *row.outside() - *row.at_ear;
        segment.share_percent = energy_of(day, row);
        segments.push_back(std::move(segment));
    }
    for (SegmentResult& segment : segments) {
        segment.share_percent =
            all > 0.0 ? std::min(100.0 * segment.share_percent / all, 100.0) : 0.0;
    }
    return segments;
}

void leave_shares(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                  Trace& trace) {
    std::vector<std::string> of;
    for (std::size_t n = 0; n < result.segments.size(); ++n)
        of.push_back(key_of("segments", n, "share_percent"));
    StepOf step(say<StepPhrase::SharesAtEar>(), std::move(of), formula_of_share);
    step.columns({"row", "L_dB", "t_s", "share_percent"}).worked({"share_percent"});
    for (const SegmentResult& segment : result.segments) {
        step.row(words_of(plan, *result.person, segment.row), segment.row.at_ear,
                 static_cast<double>(day.times_a_day(segment.row)) * segment.row.time,
                 segment.share_percent);
    }
    trace.leave(step.is(say<StepPhrase::InLastColumn>(), "percent"));
}

/// Leaves what was computed of the day's exposure.
void leave_exposure(const Plan& plan, const ExposureDay& day, const PersonResult& result,
                    const std::optional<LoudestStretch>& loudest_hour, Trace& trace) {
    const Person& person = *result.person;
    const DayExposure& exposure = result.exposure;
    const auto add = [&](const Message& what, const char* key, const Formula& formula,
                         ExposureAt as, const WorkingValue& value, const char* unit) {
        trace.leave(over_rows(plan, person, day, as,
                              StepOf(what, {std::string("exposure.") + key}, formula), value,
                              unit));
    };
    using enum ExposureAt;
    add(say<StepPhrase::TimeOfTheDay>(), "seconds", formula_of_total_time, AtEar,
        shown(exposure.time), "s");
    add(say<StepPhrase::LAeqOutside>(), "LAeq_dB", formula_of_time_average, Outside,
        shown(exposure.LAeq), "dB(A)");
    add(say<StepPhrase::LAeqAtEar>(), "at_ear_LAeq_dB", formula_of_time_average, AtEar,
        shown(exposure.at_ear_LAeq), "dB(A)");
    StepOf hour(say<StepPhrase::HighestHour>(), {"exposure.at_ear_LAeq_1h_dB"},
                formula_of_highest_average);
    if (loudest_hour) add_rows_between(plan, person, day, AtEar, *loudest_hour, hour);
    trace.leave(hour.is(exposure.at_ear_LAeq_1h, "dB(A)"));
    add(say<StepPhrase::DailyExposureOutside>(), "LEX_8h_dB", formula_of_daily_exposure, Outside,
        shown(exposure.LEX_8h), "dB(A)");
    add(say<StepPhrase::DailyExposure>(), "at_ear_LEX_8h_dB", formula_of_daily_exposure_at_ear,
        AtEar, shown(exposure.at_ear_LEX_8h), "dB(A)");
    add(say<StepPhrase::ExposureAtEar>(), "at_ear_Pa2h", formula_of_sound_exposure, AtEar,
        shown(exposure.at_ear_Pa2h), "Pa²h");
    if (result.study_Pa2h) {
        trace.leave(
            StepOf(say<StepPhrase::ExposureOfStudy>(), {"study_at_ear_Pa2h"}, over_the_study)
                .value("visits", *person.visits)
                .value("E_Pa2h", exposure.at_ear_Pa2h)
                .is(result.study_Pa2h, "Pa²h"));
    }
    leave_shares(plan, result, day, trace);
}

}  // namespace

void add_exposure(const Plan& plan, const ExposureDay& day, PersonResult& result, Trace* trace) {
    result.segments = segments_of(day);
    result.exposure = exposure_of(day);
    if (const auto& visits = result.person->visits)
        result.study_Pa2h = *visits * result.exposure.at_ear_Pa2h;
    if (trace)
        leave_exposure(plan, day, result, loudest_stretch(day.at_ear(), averaging_hour), *trace);
}

void add_shares(const Plan& plan, const ExposureDay& day, const Candidates& candidates,
                PersonResult& result, Trace* trace) {
    result.sequence_shares = shares_of_sequences(day);
    result.task_shares = shares_of_tasks(day);
    result.largest_change = largest_change(plan, *result.person, day, candidates);
    if (!trace) return;
    leave_list(plan, result.sequence_shares, "sequences", result, *trace);
    leave_list(plan, result.task_shares, "tasks", result, *trace);
    leave_change(result, *trace);
}

}  // namespace earbudget
