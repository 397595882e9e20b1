#include "day/day_warnings.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "day/method_warnings.hpp"

namespace earbudget {

namespace {

void warn_of_silence(const Person& person, const std::vector<HeardRow>& rows,
                     std::vector<Warning>& warnings) {
    const bool rests = std::any_of(rows.begin(), rows.end(),
                                   [](const HeardRow& row) { return !row.sequence && !row.sound; });
    if (!rests) return;
    warnings.push_back(warning_for(person, "no-background",
                                   "time with no sequence running counts as time without sound, "
                                   "since the plan has no [background]"));
}

// Bands that the method leaves out may matter when their level, unreduced, comes this close to the
// level at the ear.
constexpr LevelDifference close_enough_to_matter{10.0};

void warn_of_prediction(const Person& person, const std::string& sequence,
                        const Prediction& prediction, std::vector<Warning>& warnings) {
    const auto warn = [&](const char* code, const std::string& text) {
        warnings.push_back(warning_for(person, code, text));
    };
    if (prediction.raised_to_zero) {
        warn("no-reduction",
             fmt::format("the reduction in \"{}\" comes to {:.2g} dB and counts as 0 dB", sequence,
                         prediction.before_holding().dB()));
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

/// Whether something is worn against noise of which the method lacks data.
bool has_unreduced(const HearingDay& day, const Person& person, bool other_noise) {
    return std::any_of(day.rows.begin(), day.rows.end(), [&](const HeardRow& row) {
        if (row.sequence || !row.sound || row.prediction || !row.with_protector) return false;
        return other_noise == (row.task && person.tasks[*row.task].levels);
    });
}

}  // namespace

void warn_of_day(const Plan& plan, const Person& person, HearingDay& day) {
    warn_of_silence(person, day.rows, day.warnings);
    std::set<std::size_t> seen;
    for (const HeardRow& row : day.rows) {
        if (!row.sequence || !row.prediction || !seen.insert(*row.sequence).second) continue;
        warn_of_prediction(person, plan.sequences[*row.sequence].id, *row.prediction, day.warnings);
    }
    warn_of_unreached(day);
    const auto& rule = person.policy.rules.method;
    const std::string needs =
        rule && !person.PAR ? fmt::format("method {}", name_of(*rule)) : std::string("any method");
    if (has_unreduced(day, person, /*other_noise=*/false)) {
        day.warnings.push_back(
            warning_for(person, "background-unreduced",
                        fmt::format("the background counts unreduced at the ear, since "
                                    "[background] lacks what {} needs",
                                    needs)));
    }
    if (has_unreduced(day, person, /*other_noise=*/true)) {
        day.warnings.push_back(
            warning_for(person, "other-noise-unreduced",
                        fmt::format("other noise counts unreduced at the ear, since its levels "
                                    "lack what {} needs",
                                    needs)));
    }
}

}  // namespace earbudget
