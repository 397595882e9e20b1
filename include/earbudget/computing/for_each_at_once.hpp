#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <exception>
#include <limits>
#include <optional>
#include <thread>
#include <type_traits>
#include <vector>

#include "earbudget/computing/work_meter.hpp"

namespace earbudget {

/// What `job` makes of each input, in their order, with as many at work at once as there are cores,
/// at most `most_at_once`, or as the machine has threads to give: without any, this one does it
/// all. Throws what the first input to fail threw; those not yet begun are then left out.
template <class Input, class Job>
auto for_each_at_once(const std::vector<Input>& inputs, const Job& job,
                      std::size_t most_at_once = std::numeric_limits<std::size_t>::max()) {
    using Result = std::invoke_result_t<const Job&, const Input&>;
    std::vector<std::optional<Result>> results(inputs.size());
    std::vector<std::exception_ptr> failures(inputs.size());
    std::atomic<std::size_t> next = 0;
    std::atomic<bool> failed = false;
    const auto work = [&] {
        for (std::size_t n = next++; n < inputs.size() && !failed; n = next++) {
            try {
                results[n] = job(inputs[n]);
            } catch (...) {
                failures[n] = std::current_exception();
                failed = true;
            }
        }
    };
    {
        std::vector<std::jthread> others;
        // Asked once: each time it is read from a file of the system.
        static const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
        // What they do counts for whoever asked.
        const auto work_elsewhere = [&work, meter = WorkMeter::of_this_thread()] {
            const WorkMeter::Counting counting(meter);
            work();
        };
        try {
            for (std::size_t k = 1; k < std::min({cores, inputs.size(), most_at_once}); ++k)
                others.emplace_back(work_elsewhere);
        } catch (...) {
            // No more threads, or no memory for one: the inputs wait for whoever there is.
        }
        work();
    }
    for (const auto& failure : failures)
        if (failure) std::rethrow_exception(failure);
    std::vector<Result> all;
    all.reserve(results.size());
    for (auto& result : results)
        all.push_back(*std::move(result));
    return all;
}

}  // namespace earbudget
