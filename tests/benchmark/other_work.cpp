#include "benchmark/other_work.hpp"

#include <algorithm>
#include <chrono>
#include <fstream>
#include <string>

#include <sys/resource.h>
#include <unistd.h>

#include "benchmark/process.hpp"

namespace earbudget::benchmark {

namespace {

double now_s() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

// Time that all processors were busy since the start of the machine.
double busy_s() {
    std::ifstream file("/proc/stat");
    std::string cpu;
    double user = 0.0;
    double nice = 0.0;
    double system = 0.0;
    file >> cpu >> user >> nice >> system;
    return (user + nice + system) / static_cast<double>(::sysconf(_SC_CLK_TCK));
}

double own_s() {
    double sum = 0.0;
    for (const auto who : {RUSAGE_SELF, RUSAGE_CHILDREN}) {
        rusage used{};
        ::getrusage(who, &used);
        sum += CPU_seconds(used);
    }
    return sum;
}

}  // namespace

OtherWork::OtherWork() : start_s_(now_s()), others_s_(busy_s() - own_s()) {}

double OtherWork::processors() const {
    return std::max(0.0, (busy_s() - own_s() - others_s_) / (now_s() - start_s_));
}

}  // namespace earbudget::benchmark
