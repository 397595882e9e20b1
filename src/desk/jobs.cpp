#include "desk/jobs.hpp"

#include <algorithm>
#include <thread>

#include "desk/frame.hpp"
#include "earbudget/study/input_error.hpp"
#include "register/chain.hpp"

namespace earbudget::desk {

struct Jobs::Kept {
    std::string kind;
    Job job;
    std::vector<std::string> arguments;
    ChildLimits limits;
    std::thread thread = {};
};

std::shared_ptr<Jobs> no_jobs_yet() { return std::make_shared<Jobs>(); }

Jobs::~Jobs() {
    {
        const std::scoped_lock lock(mutex_);
        ends_ = true;
    }
    turn_.notify_all();
    for (const auto& kept : kept_)
        kept->thread.join();
}

void Jobs::run(Kept& kept, const std::string& program) {
    {
        std::unique_lock lock(mutex_);
        turn_.wait(lock, [this] { return ends_ || running_ < most_at_once; });
        if (ends_) return;
        ++running_;
    }
    auto answer = std::make_shared<ChildAnswer>();
    try {
        *answer = run_child(program, kept.arguments, kept.job.folder->path().string(), kept.limits);
    } catch (const std::exception& error) {
        answer->errors = error.what();
    }
    {
        const std::scoped_lock lock(mutex_);
        kept.job.answer = std::move(answer);
        --running_;
    }
    turn_.notify_one();
}

/// The oldest that has ended makes room.
void Jobs::forget_ended() {
    const auto oldest =
        std::ranges::find_if(kept_, [](const auto& kept) { return kept->job.answer != nullptr; });
    if (oldest == kept_.end()) {
        throw InputError({"desk"},
                         "has too much to do that takes long; accepted: the same in a minute");
    }
    (*oldest)->thread.join();
    kept_.erase(oldest);
}

std::string Jobs::start(const Opened& desk, JobAsked asked) {
    auto kept = std::make_unique<Kept>();
    if (!asked.folder) asked.folder.emplace();
    asked.limits.ends = &ends_;
    kept->kind = std::move(asked.kind);
    kept->job = {registers::hexadecimal(registers::bytes_of(registers::random_salt())),
                 std::move(asked.title), std::move(asked.kept),
                 std::make_shared<const serving::ScratchFolder>(*std::move(asked.folder))};
    kept->arguments = std::move(asked.arguments);
    kept->limits = asked.limits;
    std::string name = kept->job.name;
    const std::scoped_lock lock(mutex_);
    if (kept_.size() >= most_kept) forget_ended();
    kept_.push_back(std::move(kept));
    Kept& last = *kept_.back();
    last.thread = std::thread([this, &last, program = desk.program] { run(last, program); });
    return name;
}

std::optional<Job> Jobs::find(std::string_view kind, std::string_view name) const {
    const std::scoped_lock lock(mutex_);
    for (const auto& kept : kept_)
        if (kept->kind == kind && kept->job.name == name) return kept->job;
    return std::nullopt;
}

Reply job_page(const Asked& asked, const Job& job, std::string_view here,
               const std::string& ended) {
    constexpr int again_ms = 1000;
    // Parts of other names: the script then loads the page as a whole, which asks no more.
    if (job.answer)
        return framed(asked, {.here = here, .title = job.title, .main = part("ended", ended)});
    const std::string words =
        "<p role=\"status\">This takes a while, and goes on when the page is closed. What it finds "
        "is shown here.</p>\n<p class=\"acts\">" +
        link(asked.path, "Look again", "act") + "</p>\n";
    return framed(
        asked,
        {.here = here, .title = job.title, .main = part("goes-on", words), .live_ms = again_ms});
}

}  // namespace earbudget::desk
