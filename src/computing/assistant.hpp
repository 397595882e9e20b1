#pragma once

#include <condition_variable>
#include <exception>
#include <functional>
#include <mutex>
#include <thread>

namespace earbudget {

/// A thread that does one job over and over, once each time it is asked to, while whoever asked
/// goes on. Asked by one thread.
class Assistant {
  public:
    /// Throws std::system_error where the machine has no thread to give.
    explicit Assistant(std::function<void()> job);
    Assistant(const Assistant&) = delete;
    Assistant& operator=(const Assistant&) = delete;
    /// Waits for the job that it is at.
    ~Assistant();

    /// Has the job done once more. Waits, and throws, as wait() does.
    void start();

    /// Until it is done with what it was asked for; throws what the job threw.
    void wait();

  private:
    void work();
    void wait(std::unique_lock<std::mutex>& lock);

    std::function<void()> job_;
    std::mutex mutex_;
    std::condition_variable changed_;
    bool asked_ = false, ended_ = false;
    std::exception_ptr failure_;
    std::jthread thread_;  // last: it uses the others
};

}  // namespace earbudget
