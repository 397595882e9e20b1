#include "earbudget/protection/protection_performance.hpp"

#include <array>

#include "earbudget/acoustics/normal_distribution.hpp"

namespace earbudget {

double ProtectionPerformance::alpha() const {
    struct Row {
        double percent;
        double alpha;
    };
    // ISO 4869-2, table 1 (memory); the normal quantiles agree, 84 % is 0.9945 tabled as 1.00.
    constexpr std::array<Row, 6> tabled = {
        {{75, 0.67}, {80, 0.84}, {84, 1.00}, {85, 1.04}, {90, 1.28}, {95, 1.64}}};
    for (const Row& row : tabled) {
        if (row.percent == percent_) return row.alpha;
    }
    return normal_quantile(percent_ / 100.0);
}

}  // namespace earbudget
