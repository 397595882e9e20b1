#include "earbudget/excitation/estimate.hpp"

#include <algorithm>
#include <cmath>

#include "earbudget/computing/for_each_at_once.hpp"
#include "earbudget/excitation/drive.hpp"
#include "excitation/align.hpp"
#include "excitation/held_back.hpp"
#include "excitation/tied.hpp"

namespace earbudget {

namespace {

/// A recording at its place, summed up.
Recorded recorded(const CalibrationPair& pair, std::optional<Seconds> common_start) {
    const double rate = PressureReader(pair).rate();
    std::optional<double> start;
    if (common_start) start = common_start->count() * rate;
    const Aligned aligned = align(pair, start);
    SegmentTransform transform(window_for(rate));
    Recorded result{rate, aligned, CrossSpectra(transform.length()), {}, 0.0};
    result.samples = for_each_window(pair, aligned.map, transform,
                                     [&](const SegmentTransform& at, std::size_t,
                                         std::size_t count) { result.sums.add(at, count); });
    result.solved = solve(result.sums, rate);
    return result;
}

std::vector<Recorded> all_recorded(const std::vector<CalibrationPair>& pairs,
                                   std::optional<Seconds> common_start) {
    struct Outcome {
        std::optional<Recorded> recorded;
        std::optional<UnusableRecording> why;
    };
    auto outcomes = for_each_at_once(pairs, [&](const CalibrationPair& pair) {
        Outcome outcome;
        try {
            outcome.recorded = recorded(pair, common_start);
        } catch (const UnusableRecording& why) {
            outcome.why = why;
        }
        return outcome;
    });
    std::vector<Recorded> all;
    for (std::size_t n = 0; n < outcomes.size(); ++n) {
        if (outcomes[n].why) throw CannotEstimate{n, *outcomes[n].why};
        all.push_back(*std::move(outcomes[n].recorded));
        if (all[n].rate != all[0].rate) throw CannotEstimate{n, UnusableRecording::OtherRate};
    }
    return all;
}

LevelDifference uncertainty_of(const std::vector<double>& errors) {
    if (errors.size() < recordings_for_a_trial) return uncertainty_of_untried_response;
    double squares = 0.0;
    for (const double error : errors)
        squares += error * error;
    return std::max(least_uncertainty_of_prediction,
                    LevelDifference(std::sqrt(squares / static_cast<double>(errors.size()))));
}

ResponseUncertainty uncertainty_of(const std::vector<HeldBack>& held_back) {
    ResponseUncertainty uncertainty;
    std::vector<double> errors;
    for (const HeldBack& each : held_back) {
        if (each.LAeq) errors.push_back(each.LAeq->dB());
    }
    uncertainty.LAeq = uncertainty_of(errors);
    for (std::size_t band = 0; band < third_octave_count; ++band) {
        errors.clear();
        for (const HeldBack& each : held_back) {
            if (each.third_octave[band]) errors.push_back(each.third_octave[band]->dB());
        }
        if (!errors.empty()) uncertainty.third_octave[band] = uncertainty_of(errors);
    }
    return uncertainty;
}

}  // namespace

EstimatedResponse estimate_response(const std::vector<CalibrationPair>& pairs,
                                    std::optional<Seconds> common_start) {
    const auto all = all_recorded(pairs, common_start);
    std::vector<std::size_t> every;
    for (std::size_t n = 0; n < all.size(); ++n)
        every.push_back(n);
    const bool common = common_start.has_value();
    const Tied tied = tied_together(all, every, common);
    EstimatedResponse result{response_of(all, tied), {}, {}};
    for (std::size_t n = 0; n < all.size(); ++n) {
        const Recorded& each = all[n];
        result.alignments.push_back({.starts_at = Seconds(each.aligned.map.start / each.rate),
                                     .clock_ppm = 1e6 * (each.aligned.map.clock - 1.0),
                                     .explained = each.aligned.explained,
                                     .covered = Seconds(each.samples / each.rate),
                                     .time_base = tied.group[n]});
        std::vector<std::size_t> others = every;
        std::erase(others, n);
        result.held_back.push_back(
            compared(response_of(all, tied_together(all, others, common)), all[n], n));
    }
    result.response.uncertainty = uncertainty_of(result.held_back);
    return result;
}

}  // namespace earbudget
