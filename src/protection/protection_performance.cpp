#include "earbudget/protection/protection_performance.hpp"

#include <algorithm>
#include <array>

#include "earbudget/acoustics/normal_distribution.hpp"

namespace earbudget {

double ProtectionPerformance::alpha() const {
    struct Row {
        double percent;
        double alpha;
    };
    // ISO 4869-2:2018, table 1 (memory); the normal quantiles agree, 84 % is 0.9945 tabled as 1.00.
    constexpr std::array<Row, 6> tabled = {
        {{75, 0.67}, {80, 0.84}, {84, 1.00}, {85, 1.04}, {90, 1.28}, {95, 1.64}}};
    for (const Row& row : tabled) {
        if (row.percent == percent_) return row.alpha;
    }
    // Between tabled values the quantile, never beyond its neighbours in the table: who asks for
    // more gets no smaller α.
    double alpha = normal_quantile(percent_ / 100.0);
    for (const Row& row : tabled)
        alpha = row.percent < percent_ ? std::max(alpha, row.alpha) : std::min(alpha, row.alpha);
    return alpha;
}

}  // namespace earbudget
