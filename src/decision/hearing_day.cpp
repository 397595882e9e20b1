#include "earbudget/decision/hearing_day.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "earbudget/decision/choose_method.hpp"

namespace earbudget {

namespace {

std::vector<HeardRow> timeline_at(const Plan& plan, std::optional<std::size_t> position) {
    const LevelDifference shift =
        position ? plan.positions[*position].difference : LevelDifference(0.0);
    std::vector<HeardRow> rows;
    for (const TimelineRow& row : plan.timeline) {
        HeardRow heard{.sequence = row.sequence, .position = position, .time = row.time()};
        if (row.sequence) {
            heard.sound = plan.sequences[*row.sequence].levels.shifted(shift);
        } else if (plan.background) {
            heard.sound = plan.background->shifted(shift);
        }
        rows.push_back(std::move(heard));
    }
    return rows;
}

std::vector<HeardRow> unprotected_rows(const Plan& plan, const Person& person) {
    if (person.role == Role::Participant) return timeline_at(plan, std::nullopt);
    std::vector<HeardRow> rows;
    for (const Task& task : person.tasks) {
        if (!task.background) {
            const auto during = timeline_at(plan, task.position);
            rows.insert(rows.end(), during.begin(), during.end());
            continue;
        }
        HeardRow heard{.sequence = {}, .position = task.position, .time = *task.background};
        if (plan.background) {
            heard.sound = plan.background->shifted(plan.positions[task.position].difference);
        }
        rows.push_back(std::move(heard));
    }
    return rows;
}

void warn_of_silence(const Plan& plan, std::vector<Warning>& warnings,
                     const std::vector<HeardRow>& rows, const Person& person) {
    if (plan.background) return;
    const bool rests =
        std::any_of(rows.begin(), rows.end(), [](const HeardRow& row) { return !row.sequence; });
    if (!rests) return;
    warnings.push_back({"no-background",
                        fmt::format("{}: time with no sequence running counts as time without "
                                    "sound, since the plan has no [background]",
                                    person.id),
                        person.stated_at});
}

void protect(HeardRow& row, std::optional<Method> method, const AttenuationData& worn,
             const PredictionRules& rules, const Wearing& wearing) {
    if (!row.sound) return;
    row.while_worn = row.at_ear = row.sound->LAeq;
    // Only a background can still lack data here; it then counts unreduced.
    if (!method || find_obstacle(*method, *row.sound, worn, rules)) return;
    row.prediction = predict(*method, *row.sound, worn, rules);
    row.while_worn =
        row.sound->LAeq - reduction_as_fitted(row.prediction->reduction, wearing.poor_fit);
    row.at_ear =
        level_over_wearing_time(row.sound->LAeq, *row.while_worn, wearing.fraction_of_time);
}

// Bands that the method leaves out may matter when their level, unreduced, comes this close to the
// level at the ear.
constexpr LevelDifference close_enough_to_matter{10.0};

void warn_of_prediction(const Person& person, const std::string& sequence,
                        const Prediction& prediction, std::vector<Warning>& warnings) {
    const auto warn = [&](const char* code, const std::string& text) {
        warnings.push_back({code, fmt::format("{}: {}", person.id, text), person.stated_at});
    };
    if (prediction.raised_to_zero) {
        warn("no-reduction",
             fmt::format("the reduction in \"{}\" comes to {:.1f} dB and counts as 0 dB", sequence,
                         (prediction.by_method - prediction.deduction).dB()));
    }
    const LevelA under_protector = prediction.LA - prediction.by_method;
    if (prediction.left_out && *prediction.left_out > under_protector - close_enough_to_matter) {
        warn("bands-left-out",
             fmt::format("\"{}\" has {:.1f} dB(A) in octave bands that the octave-band method "
                         "leaves out, below {} and above 8000 Hz; the level at the ear may be "
                         "higher than computed",
                         sequence, prediction.left_out->dB(),
                         prediction.starts_at_63_Hz ? "63" : "125"));
    }
    if (prediction.LC_without_63_Hz) {
        warn("LC-without-63-Hz",
             fmt::format("LC of \"{}\" is summed from octave bands that begin at 125 Hz; enter "
                         "LCeq or the 63 Hz band if there is sound below",
                         sequence));
    }
}

void warn_of_predictions(const Plan& plan, const Person& person, HearingDay& day) {
    bool background_unreduced = false;
    std::set<std::size_t> seen;
    for (const HeardRow& row : day.rows) {
        if (!row.sequence && row.sound && !row.prediction) background_unreduced = true;
        if (!row.sequence || !row.prediction || !seen.insert(*row.sequence).second) continue;
        warn_of_prediction(person, plan.sequences[*row.sequence].id, *row.prediction, day.warnings);
    }
    if (background_unreduced) {
        day.warnings.push_back(
            {"background-unreduced",
             fmt::format("{}: the background counts unreduced at the ear, since [background] lacks "
                         "what {} needs",
                         person.id,
                         day.method ? fmt::format("method {}", name_of(*day.method))
                                    : std::string("any method")),
             person.stated_at});
    }
}

/// Of the sound alone, or with what the protector adds to it: independent, so by their squares.
std::optional<LevelDifference> uncertainty_of(const HearingDay& day, const HeardRow& row,
                                              bool at_ear) {
    if (!row.sound || !row.sound->uncertainty) return std::nullopt;
    if (!at_ear || !row.prediction) return row.sound->uncertainty;
    return LevelDifference(
        std::hypot(row.sound->uncertainty->dB(), day.protector_uncertainty.dB()));
}

template <class LevelOfRow>
std::vector<ExposurePart> parts_of(const HearingDay& day, bool at_ear, LevelOfRow level_of) {
    std::vector<ExposurePart> parts;
    parts.reserve(day.rows.size() * day.sessions);
    for (unsigned session = 0; session < day.sessions; ++session) {
        for (const HeardRow& row : day.rows)
            parts.push_back({level_of(row), row.time, uncertainty_of(day, row, at_ear)});
    }
    return parts;
}

}  // namespace

std::vector<ExposurePart> HearingDay::outside() const {
    return parts_of(*this, false, [](const HeardRow& row) { return row.outside(); });
}

std::vector<ExposurePart> HearingDay::at_ear() const {
    return parts_of(*this, true, [](const HeardRow& row) { return row.at_ear; });
}

std::vector<ExposurePart> HearingDay::at_ear_by_wearing() const {
    if (fraction_worn == 1.0) return at_ear();
    std::vector<ExposurePart> parts =
        parts_of(*this, true, [](const HeardRow& row) { return row.while_worn; });
    for (ExposurePart& part : parts)
        part.time *= fraction_worn;
    std::vector<ExposurePart> without = outside();
    for (ExposurePart& part : without)
        part.time *= 1.0 - fraction_worn;
    parts.insert(parts.end(), without.begin(), without.end());
    return parts;
}

HearingDay hear(const Plan& plan, const Person& person, const std::vector<std::string>& wears,
                const Wearing& wearing) {
    HearingDay day{.rows = unprotected_rows(plan, person), .sessions = person.sessions_per_day};
    warn_of_silence(plan, day.warnings, day.rows, person);
    PredictionRules rules = person.policy.rules;
    auto worn = attenuation_of(plan.catalogue, wears, rules.performance.alpha());
    if (!worn) {
        for (HeardRow& row : day.rows)
            row.while_worn = row.at_ear = row.outside();
        return day;
    }
    // A fit test tells about the protector that was tested, which is the one the person wears.
    if (person.PAR && are_same_set(wears, person.wears)) {
        worn->ratings.PAR = person.PAR;
        worn->estimated_pair = false;  // it was tested on this person
        day.protector_uncertainty = person.PAR_uncertainty.value_or(LevelDifference(0.0));
        rules.method = Method::Par;
        if (!is_defined(rules.derating.kind, Method::Par)) rules.derating = {};
        Person tested = person;
        tested.policy.rules = rules;
        day.method = choose_method(plan, tested, wears, day.rows, *worn);
    } else {
        day.method = choose_method(plan, person, wears, day.rows, *worn);
    }
    day.fraction_worn = wearing.fraction_of_time;
    for (HeardRow& row : day.rows)
        protect(row, day.method, *worn, rules, wearing);
    warn_of_predictions(plan, person, day);
    return day;
}

HearingDay hear_through(const Plan& plan, const Person& person, const AttenuationData& worn,
                        Method method, const PredictionRules& rules) {
    HearingDay day{.rows = unprotected_rows(plan, person), .sessions = person.sessions_per_day};
    day.method = method;
    for (HeardRow& row : day.rows)
        protect(row, method, worn, rules, Wearing{});
    return day;
}

HearingDay hear(const Plan& plan, const Person& person) {
    return hear(plan, person, person.wears, person.wearing);
}

}  // namespace earbudget
