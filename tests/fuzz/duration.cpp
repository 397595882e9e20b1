// A duration of any text is refused, or is a finite time that its own text gives again.

#include "files/written_values.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/held.hpp"

using namespace earbudget;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {0.01, 1e-6, 4096, 64});
    const std::string text(data, data + size);
    const auto duration = files::parse_duration(text);
    if (!duration) return 0;
    fuzz::hold_finite(duration->count());
    fuzz::hold(duration->count() >= 0.0, "no time is negative");
    fuzz::hold(files::parse_duration(" " + text).has_value() || text.find(':') != text.npos,
               "spaces before units are skipped");
    if (duration->count() > 1e12) return 0;
    char seconds[64];
    std::snprintf(seconds, sizeof seconds, "%.9f s", duration->count());
    const auto again = files::parse_duration(seconds);
    // Nine decimals, and 16 digits of a double.
    fuzz::hold(
        again && std::abs(again->count() - duration->count()) <= 1e-9 + 1e-15 * duration->count(),
        "the same time in seconds reads as the same");
    return 0;
}
