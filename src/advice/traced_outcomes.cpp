#include <algorithm>
#include <utility>

#include "advice/traced.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/shares.hpp"
#include "earbudget/exposure/exposure_part.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

constexpr Formula over_the_study{"E = visits · E of a day", "the plan's visits; sum"};

constexpr Formula change_of_the_day{"drop = LEX,8h now − LEX,8h with the change", "difference"};
constexpr Formula above_the_room{"speech at the ear − residual noise at the ear", "difference"};
constexpr Formula sum_of_shares{"Σ of the shares of its rows", "sum"};

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

void leave_intercom(const PersonResult& result, Trace& trace) {
    if (!result.intercom || !result.intercom->residual) return;
    trace.leave(
        StepOf(say<StepPhrase::SpeechAbove>(), {"intercom.above_residual_dB"}, above_the_room)
            .value("speech_dB", result.intercom->speech)
            .value("residual_dB", result.intercom->residual)
            .is(result.intercom->above_residual(), "dB"));
}

/// What of the day lies in the hour where the average is highest.
WorkingStep highest_hour(const Plan& plan, const Person& person, const ExposureDay& day,
                         const DayExposure& exposure) {
    const auto at_ear = day.at_ear();
    const auto stretch = loudest_stretch(at_ear, Hours(1));
    StepOf step(say<StepPhrase::HighestHour>(), {"exposure.at_ear_LAeq_1h_dB"},
                formula_of_highest_average);
    if (stretch) add_rows_between(plan, person, day, ExposureAt::AtEar, *stretch, step);
    return step.is(exposure.at_ear_LAeq_1h, "dB(A)");
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

}  // namespace

void leave_exposure(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                    Trace& trace) {
    const Person& person = *result.person;
    const DayExposure& exposure = result.exposure;
    const auto add = [&](Message what, const char* key, const Formula& formula, ExposureAt as,
                         const WorkingValue& value, const char* unit) {
        trace.leave(over_rows(plan, person, day, as,
                              StepOf(std::move(what), {std::string("exposure.") + key}, formula),
                              value, unit));
    };
    using enum ExposureAt;
    add(say<StepPhrase::TimeOfTheDay>(), "seconds", formula_of_total_time, AtEar,
        shown(exposure.time), "s");
    add(say<StepPhrase::LAeqOutside>(), "LAeq_dB", formula_of_time_average, Outside,
        shown(exposure.LAeq), "dB(A)");
    add(say<StepPhrase::LAeqAtEar>(), "at_ear_LAeq_dB", formula_of_time_average, AtEar,
        shown(exposure.at_ear_LAeq), "dB(A)");
    trace.leave(highest_hour(plan, person, day, exposure));
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

void leave_outcomes(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                    Trace& trace) {
    leave_list(plan, result.sequence_shares, "sequences", result, trace);
    leave_list(plan, result.task_shares, "tasks", result, trace);
    leave_change(result, trace);
    leave_intercom(result, trace);
    leave_scanning(plan, *result.person, day, result.while_scanning,
                   "while_scanning.at_ear_LAeq_dB", trace);
}

}  // namespace earbudget
