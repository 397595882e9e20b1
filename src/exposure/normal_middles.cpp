#include "exposure/normal_middles.hpp"

#include <cmath>
#include <map>
#include <mutex>
#include <utility>

#include "earbudget/exposure/random_draws.hpp"

namespace earbudget {

namespace {

// Numbers of draws whose middles are kept: a program asks for few.
constexpr std::size_t most_known = 8;

// Processors may differ in the last bits of a logarithm: rounded, the draws do not.
double rounded(double value) { return std::ldexp(std::nearbyint(std::ldexp(value, 40)), -40); }

}  // namespace

std::shared_ptr<const Eigen::ArrayXd> middles_of(std::size_t size, std::size_t sets) {
    static std::mutex mutex;
    static std::map<std::pair<std::size_t, std::size_t>, std::shared_ptr<const Eigen::ArrayXd>>
        known;
    const std::lock_guard lock(mutex);
    const std::size_t count = size * sets;
    if (known.size() >= most_known) known.clear();
    auto& made = known[{size, sets}];
    if (made) return made;
    Eigen::ArrayXd middles = Eigen::ArrayXd::Zero(static_cast<Eigen::Index>(count));
    const auto at = [&](std::size_t i) -> double& {
        return middles[static_cast<Eigen::Index>(i % sets * size + i / sets)];
    };
    for (std::size_t i = 0; i < count / 2; ++i) {
        const double probability = (static_cast<double>(i) + 0.5) / static_cast<double>(count);
        at(i) = rounded(standard_normal_quantile(probability));
        at(count - 1 - i) = -at(i);
    }
    made = std::make_shared<const Eigen::ArrayXd>(std::move(middles));
    return made;
}

}  // namespace earbudget
