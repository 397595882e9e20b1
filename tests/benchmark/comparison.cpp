#include "benchmark/comparison.hpp"

#include <algorithm>
#include <cstdio>

namespace earbudget::benchmark {

namespace {

double median(const std::vector<Cost>& costs, double Cost::*part) {
    std::vector<double> values;
    for (const Cost& cost : costs)
        values.push_back(cost.*part);
    std::sort(values.begin(), values.end());
    const std::size_t middle = values.size() / 2;
    return values.size() % 2 ? values[middle] : (values[middle - 1] + values[middle]) / 2.0;
}

double largest_memory(const std::vector<Cost>& costs) {
    double largest = 0.0;
    for (const Cost& cost : costs)
        largest = std::max(largest, cost.peak_MB);
    return largest;
}

std::string verdict(Target target, double value) {
    if (target.kind == Target::Kind::None) return "none";
    const bool at_most = target.kind == Target::Kind::AtMost;
    const bool met = at_most ? value <= target.value : value >= target.value;
    char text[64];
    std::snprintf(text, sizeof text, "at %-5s %5.4g  %s", at_most ? "most" : "least", target.value,
                  met ? "met" : "NOT MET");
    return text;
}

}  // namespace

void print_heading() {
    std::printf("\n%-40s   wall time, s            CPU time, s\n", "");
    std::printf("%-40s %6s %6s %6s  %6s %6s %6s  target for wall A/B\n", "A / B", "A", "B", "A/B",
                "A", "B", "A/B");
}

double compare(const Comparison& comparison, int runs) {
    static_cast<void>(cost_of(comparison.a));
    static_cast<void>(cost_of(comparison.b));
    std::vector<Cost> a;
    std::vector<Cost> b;
    for (int run = 0; run < runs; ++run) {
        a.push_back(cost_of(comparison.a));
        b.push_back(cost_of(comparison.b));
    }
    const double wall_a = median(a, &Cost::wall_s);
    const double wall_b = median(b, &Cost::wall_s);
    const double CPU_a = median(a, &Cost::CPU_s);
    const double CPU_b = median(b, &Cost::CPU_s);
    const double ratio = wall_a / wall_b;
    std::printf("%-40s %6.3f %6.3f %6.2f  %6.3f %6.3f %6.2f  %s\n", comparison.name, wall_a, wall_b,
                ratio, CPU_a, CPU_b, CPU_a / CPU_b, verdict(comparison.target, ratio).c_str());
    std::fflush(stdout);
    return largest_memory(a);
}

void print_memory(const char* name, double peak_MB, double at_most_MB) {
    std::printf("%-40s %6.1f MB  %s\n", name, peak_MB,
                verdict({Target::Kind::AtMost, at_most_MB}, peak_MB).c_str());
    std::fflush(stdout);
}

}  // namespace earbudget::benchmark
