#include "earbudget/computing/work_meter.hpp"

namespace earbudget {

namespace {

thread_local WorkMeter* meter_of_thread = nullptr;
thread_local double spent = 0.0;

}  // namespace

TooMuchWork::TooMuchWork() : std::runtime_error("more has to be computed than is accepted") {}

void WorkMeter::spend(double nanoseconds) {
    spent += nanoseconds;
    WorkMeter* const meter = meter_of_thread;
    if (!meter) return;
    const auto more = static_cast<std::uint64_t>(nanoseconds);
    if (meter->done_.fetch_add(more, std::memory_order_relaxed) + more > meter->most_)
        throw TooMuchWork();
}

double WorkMeter::spent_by_this_thread() { return spent; }

WorkMeter* WorkMeter::of_this_thread() { return meter_of_thread; }

WorkMeter::Counting::Counting(WorkMeter* meter) : before_(meter_of_thread) {
    meter_of_thread = meter;
}

WorkMeter::Counting::~Counting() { meter_of_thread = before_; }

}  // namespace earbudget
