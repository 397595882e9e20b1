#include "measurement/vector/high_pass.hpp"

namespace earbudget::vector {

HighPass high_pass_with_pole(double pole) {
    HighPass section{};
    double power = 1.0;
    for (int k = 0; k + 1 < high_pass_reach; ++k, power *= pole)
        section.taps[k] = static_cast<float>((pole - 1.0) * power);
    section.taps[high_pass_reach - 1] = static_cast<float>(-power);
    section.pole_8 = static_cast<float>(power * pole);
    return section;
}

}  // namespace earbudget::vector
