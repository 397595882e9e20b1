#include "computing/assistant.hpp"

#include <utility>

namespace earbudget {

Assistant::Assistant(std::function<void()> job)
    : job_(std::move(job)), thread_([this] { work(); }) {}

Assistant::~Assistant() {
    const std::lock_guard lock(mutex_);
    ended_ = true;
    changed_.notify_all();
}

void Assistant::start() {
    std::unique_lock lock(mutex_);
    wait(lock);
    asked_ = true;
    changed_.notify_all();
}

void Assistant::wait() {
    std::unique_lock lock(mutex_);
    wait(lock);
}

void Assistant::wait(std::unique_lock<std::mutex>& lock) {
    changed_.wait(lock, [this] { return !asked_; });
    if (failure_) std::rethrow_exception(std::exchange(failure_, nullptr));
}

void Assistant::work() {
    std::unique_lock lock(mutex_);
    for (;;) {
        changed_.wait(lock, [this] { return asked_ || ended_; });
        if (!asked_) return;
        lock.unlock();
        std::exception_ptr failure;
        try {
            job_();
        } catch (...) {
            failure = std::current_exception();
        }
        lock.lock();
        failure_ = failure;
        asked_ = false;
        changed_.notify_all();
    }
}

}  // namespace earbudget
