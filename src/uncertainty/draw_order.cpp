#include "uncertainty/draw_order.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>

namespace earbudget {

namespace {

// Standard deviations at which a variable is tried: near those that 5 % exceed.
constexpr double tried_at = 1.6;

// Variables that together move the day by less than this part of all its variance leave its order.
constexpr double negligible = 1e-3;

/// What a variable adds to the logarithm of what is used: slope·z + bend·z².
struct Parabola {
    std::size_t variable;
    double slope, bend;

    [[nodiscard]] double variance() const { return slope * slope + 2.0 * bend * bend; }
};

/// A day without errors, then with each of them at both sides, one a row.
Eigen::ArrayXXd points_of(std::size_t variables) {
    const auto count = static_cast<Eigen::Index>(variables);
    Eigen::ArrayXXd points = Eigen::ArrayXXd::Zero(2 * count + 1, count);
    for (Eigen::Index i = 0; i < count; ++i) {
        points(2 * i + 1, i) = tried_at;
        points(2 * i + 2, i) = -tried_at;
    }
    return points;
}

std::vector<Parabola> parabolas_through(const Eigen::ArrayXd& logarithms) {
    std::vector<Parabola> parabolas;
    for (Eigen::Index i = 1; i + 1 < logarithms.size(); i += 2) {
        const double above = logarithms[i] - logarithms[0];
        const double below = logarithms[i + 1] - logarithms[0];
        parabolas.push_back({static_cast<std::size_t>(i / 2), (above - below) / (2.0 * tried_at),
                             (above + below) / (2.0 * tried_at * tried_at)});
    }
    return parabolas;
}

double variance_of(const std::vector<Parabola>& parabolas) {
    double variance = 0.0;
    for (const Parabola& parabola : parabolas)
        variance += parabola.variance();
    return variance;
}

/// Those that matter, the greatest first.
std::vector<Parabola> that_matter(std::vector<Parabola> parabolas) {
    std::ranges::sort(parabolas, std::greater(), &Parabola::variance);
    double rest = variance_of(parabolas);
    const double least = negligible * rest;
    std::size_t kept = 0;
    while (kept < parabolas.size() && rest > least)
        rest -= parabolas[kept++].variance();
    parabolas.resize(kept);
    return parabolas;
}

/// By the limit of which the most is used in one of twenty days, to first order.
std::vector<Parabola> of_most_pressing(const std::vector<MonteCarloOutcome>& outcomes) {
    std::vector<Parabola> pressing;
    double most = -std::numeric_limits<double>::infinity();
    for (const MonteCarloOutcome& outcome : outcomes) {
        if (outcome.used.size() == 0 || !(outcome.used > 0.0).all()) continue;
        const Eigen::ArrayXd logarithms = outcome.used.log();
        std::vector<Parabola> parabolas = parabolas_through(logarithms);
        const double used = logarithms[0] + tried_at * std::sqrt(variance_of(parabolas));
        if (!(used > most)) continue;
        most = used;
        pressing = std::move(parabolas);
    }
    return pressing;
}

using Scores = Eigen::Array<float, Eigen::Dynamic, 1>;

void add(const Parabola& parabola, const ErrorVariable& variable, const LatticeDraws& lattice,
         Scores& scores) {
    const auto slope = static_cast<float>(parabola.slope);
    const auto bend = static_cast<float>(parabola.bend);
    const double* const middles = lattice.middles().data();
    const unsigned step = LatticeDraws::step_along(variable.direction);
    unsigned place = lattice.place_of_first(variable.stream);
    for (float& score : scores) {
        const auto z = static_cast<float>(middles[static_cast<std::uint16_t>(place)]);
        score += (slope + bend * z) * z;
        place += step;
    }
}

// As fine as the order needs to be.
constexpr std::size_t score_steps = 1024;

/// The places of the scores, by falling score to a step (counting sort).
std::vector<std::uint16_t> by_score(const Scores& scores) {
    const float highest = scores.maxCoeff();
    const float range = highest - scores.minCoeff();
    if (!(range > 0.0F)) return {};
    const float a_step = static_cast<float>(score_steps - 1) / range;
    std::vector<std::uint16_t> step_of(static_cast<std::size_t>(scores.size()));
    std::array<std::uint32_t, score_steps + 1> begins = {};
    for (std::size_t i = 0; i < step_of.size(); ++i) {
        step_of[i] =
            static_cast<std::uint16_t>((highest - scores[static_cast<Eigen::Index>(i)]) * a_step);
        ++begins[step_of[i] + 1U];
    }
    for (std::size_t i = 1; i < begins.size(); ++i)
        begins[i] += begins[i - 1];
    std::vector<std::uint16_t> order(step_of.size());
    for (std::size_t i = 0; i < step_of.size(); ++i)
        order[begins[step_of[i]]++] = static_cast<std::uint16_t>(i);
    return order;
}

}  // namespace

std::vector<std::uint16_t> loudest_first(const DayErrors& errors,
                                         const std::vector<ExposureLimit>& limits,
                                         const std::vector<bool>& wanted, const SegmentTimes& times,
                                         const LatticeDraws& lattice) {
    // An hour's loudest part stands for it.
    std::vector<ExposureLimit> smooth;
    for (const ExposureLimit& limit : limits) {
        const bool hour = limit.accumulation() == Accumulation::HighestHour;
        smooth.push_back((hour ? limit.of_loudest_part() : limit).without_threshold());
    }
    const VariableDraws points(errors.variables, points_of(errors.variables.size()));
    const auto count = 2 * static_cast<Eigen::Index>(errors.variables.size()) + 1;
    const MonteCarloLimits tried(errors, points, std::move(smooth), count, 1);
    const auto parabolas =
        that_matter(of_most_pressing(tried.outcomes(times, LevelDifference(0.0), wanted)));
    if (parabolas.empty()) return {};
    Scores scores = Scores::Zero(static_cast<Eigen::Index>(lattice_size));
    for (const Parabola& parabola : parabolas)
        add(parabola, errors.variables[parabola.variable], lattice, scores);
    return by_score(scores);
}

}  // namespace earbudget
