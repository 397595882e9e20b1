#pragma once

#include <atomic>
#include <cstdint>
#include <stdexcept>

namespace earbudget {

/// More work than a meter accepts. Nothing was answered.
class TooMuchWork : public std::runtime_error {
  public:
    TooMuchWork();
};

/// Counts what is computed, in nanoseconds as they were measured (choice/work_size.hpp), so that
/// the same input is answered or refused on every machine, however fast and busy it is. May be read
/// and added to by any thread.
class WorkMeter {
  public:
    /// So many seconds are accepted.
    explicit WorkMeter(double most) : most_(static_cast<std::uint64_t>(most * 1e9)) {}

    /// Seconds so far.
    [[nodiscard]] double done() const {
        return static_cast<double>(done_.load(std::memory_order_relaxed)) * 1e-9;
    }

    /// Counts for the meter of this thread, where it has one; throws TooMuchWork beyond what that
    /// accepts. Called before the work.
    static void spend(double nanoseconds);

    /// Nanoseconds that this thread has counted since it began, for any meter or none.
    [[nodiscard]] static double spent_by_this_thread();

    /// That of this thread; null where nothing is counted.
    [[nodiscard]] static WorkMeter* of_this_thread();

    /// While it lives, this thread counts for a meter, or for none.
    class Counting {
      public:
        explicit Counting(WorkMeter* meter);
        Counting(const Counting&) = delete;
        Counting& operator=(const Counting&) = delete;
        ~Counting();

      private:
        WorkMeter* before_;
    };

  private:
    std::uint64_t most_;
    std::atomic<std::uint64_t> done_ = 0;
};

}  // namespace earbudget
