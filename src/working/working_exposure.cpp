#include <algorithm>

#include "earbudget/choice/shares.hpp"
#include "earbudget/exposure/exposure_part.hpp"
#include "earbudget/limits/assessment.hpp"
#include "working/working_steps.hpp"

namespace earbudget {

namespace {

constexpr Formula over_the_study{"E = visits · E of a day", "the plan's visits; sum"};

/// The rows of a day with their time in all, as a sum runs over them.
void add_rows(const Plan& plan, const Person& person, const HearingDay& day, HeardAs as,
              StepOf& step) {
    step.columns({"row", "L_dB", "t_s"});
    for (const HeardRow& row : day.rows) {
        std::vector<ExposurePart> parts;
        add_parts(row, as, parts);
        for (const ExposurePart& part : parts) {
            step.row(words_of(plan, person, row), part.level,
                     static_cast<double>(day.times_a_day(row)) * part.time);
        }
    }
}

WorkingStep over_rows(const Plan& plan, const Person& person, const HearingDay& day, HeardAs as,
                      StepOf step, const WorkingValue& result, const std::string& unit) {
    add_rows(plan, person, day, as, step);
    WorkingStep done = step.is(0.0, unit);
    done.result = result;
    return done;
}

/// What of the day lies in the hour where the average is highest.
WorkingStep highest_hour(const Plan& plan, const Person& person, const HearingDay& day,
                         const DayExposure& exposure) {
    const auto at_ear = day.at_ear();
    const auto stretch = loudest_stretch(at_ear, Hours(1));
    StepOf step("highest hour at the ear", {"exposure.at_ear_LAeq_1h_dB"},
                formula_of_highest_average);
    if (stretch) add_rows_between(plan, person, day, HeardAs::AtEar, *stretch, step);
    return step.is(exposure.at_ear_LAeq_1h, "dB(A)");
}

void work_out_shares(const Plan& plan, const PersonResult& result, const HearingDay& day,
                     Working& working) {
    std::vector<std::string> of;
    for (std::size_t n = 0; n < result.segments.size(); ++n)
        of.push_back(key_of("segments", n, "share_percent"));
    StepOf step("shares of the sound energy at the ear", std::move(of), formula_of_share);
    step.columns({"row", "L_dB", "t_s", "share_percent"}).worked({"share_percent"});
    for (const SegmentResult& segment : result.segments) {
        step.row(words_of(plan, *result.person, segment.row), segment.row.at_ear,
                 static_cast<double>(day.times_a_day(segment.row)) * segment.row.time,
                 segment.share_percent);
    }
    working.push_back(step.is("in the last column", "percent"));
}

}  // namespace

void add_rows_between(const Plan& plan, const Person& person, const HearingDay& day, HeardAs as,
                      const LoudestStretch& stretch, StepOf& step) {
    step.value("begins_s", stretch.begin).columns({"row", "L_dB", "t_s"});
    const Seconds end = stretch.begin + Hours(1);
    Seconds begins(0.0);
    for (const std::size_t i : day.course()) {
        const HeardRow& row = day.rows[i];
        const Seconds within = std::min(begins + row.time, end) - std::max(begins, stretch.begin);
        const auto level = as == HeardAs::Outside ? row.outside() : row.at_ear;
        if (within > Seconds(0.0)) step.row(words_of(plan, person, row), level, within);
        begins += row.time;
    }
}

WorkingStep daily_exposure_step(const Plan& plan, const Person& person, const HearingDay& day,
                                std::string what, std::vector<std::string> of) {
    return over_rows(plan, person, day, HeardAs::AtEar,
                     StepOf(std::move(what), std::move(of), formula_of_daily_exposure_at_ear),
                     shown(daily_exposure_level(day.at_ear())), "dB(A)");
}

void work_out_exposure(const Plan& plan, const PersonResult& result, const HearingDay& day,
                       Working& working) {
    const Person& person = *result.person;
    const DayExposure& exposure = result.exposure;
    const auto add = [&](const char* what, const char* key, const Formula& formula, HeardAs as,
                         const WorkingValue& value, const char* unit) {
        working.push_back(over_rows(plan, person, day, as,
                                    StepOf(what, {std::string("exposure.") + key}, formula), value,
                                    unit));
    };
    using enum HeardAs;
    add("time of the day", "seconds", formula_of_total_time, AtEar, shown(exposure.time), "s");
    add("LAeq outside", "LAeq_dB", formula_of_time_average, Outside, shown(exposure.LAeq), "dB(A)");
    add("LAeq at the ear", "at_ear_LAeq_dB", formula_of_time_average, AtEar,
        shown(exposure.at_ear_LAeq), "dB(A)");
    working.push_back(highest_hour(plan, person, day, exposure));
    add("LEX,8h outside", "LEX_8h_dB", formula_of_daily_exposure, Outside, shown(exposure.LEX_8h),
        "dB(A)");
    add("LEX,8h at the ear", "at_ear_LEX_8h_dB", formula_of_daily_exposure_at_ear, AtEar,
        shown(exposure.at_ear_LEX_8h), "dB(A)");
    add("sound exposure at the ear", "at_ear_Pa2h", formula_of_sound_exposure, AtEar,
        shown(exposure.at_ear_Pa2h), "Pa²h");
    if (result.study_Pa2h) {
        working.push_back(
            StepOf("sound exposure over the study", {"study_at_ear_Pa2h"}, over_the_study)
                .value("visits", static_cast<double>(*person.visits))
                .value("E_Pa2h", exposure.at_ear_Pa2h)
                .is(result.study_Pa2h, "Pa²h"));
    }
    work_out_shares(plan, result, day, working);
}

}  // namespace earbudget
