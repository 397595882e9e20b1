#pragma once

#include <atomic>
#include <condition_variable>
#include <deque>
#include <filesystem>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "desk/child.hpp"
#include "desk/desk.hpp"
#include "serving/scratch_folder.hpp"

namespace earbudget::desk {

// What takes longer than a request may: this program once more, as a process of its own, while a
// page asks again how far it is.

struct JobAsked {
    std::string kind;                    ///< whose pages tell of it: "register"
    std::string title;                   ///< what is done, to be read: a text
    std::vector<std::string> arguments;  ///< of the command line
    /// Where it runs, with the files that it needs; none: a new one. Goes when the job is
    /// forgotten.
    std::optional<serving::ScratchFolder> folder = std::nullopt;
    std::vector<std::pair<std::string, std::string>> kept = {};  ///< what its page needs besides
    ChildLimits limits = {};
};

/// A job as it stands.
struct Job {
    std::string name;  ///< in addresses; not to be guessed
    std::string title;
    std::vector<std::pair<std::string, std::string>> kept;
    std::shared_ptr<const serving::ScratchFolder> folder;
    std::shared_ptr<const ChildAnswer> answer = nullptr;  ///< null: it goes on
};

class Jobs {
  public:
    Jobs() = default;
    Jobs(const Jobs&) = delete;
    Jobs& operator=(const Jobs&) = delete;
    /// Ends what goes on.
    ~Jobs();

    /// Begins, or waits until others of before have ended, and returns the name. Throws InputError
    /// where too many wait.
    [[nodiscard]] std::string start(const Opened& desk, JobAsked asked);
    /// None for one that is not known, or not any more: the newest are kept.
    [[nodiscard]] std::optional<Job> find(std::string_view kind, std::string_view name) const;

  private:
    struct Kept;
    void run(Kept& kept, const std::string& program);
    void forget_ended();

    static constexpr std::size_t most_at_once = 2;  // own choice: others have the processors too
    static constexpr std::size_t most_kept = 20;    // own choice

    mutable std::mutex mutex_;
    std::condition_variable turn_;
    std::size_t running_ = 0;
    std::atomic<bool> ends_ = false;
    std::deque<std::unique_ptr<Kept>> kept_;
};

/// The page while a job goes on, which asks for itself again. Once it has ended `ended` is shown,
/// which is markup.
[[nodiscard]] Reply job_page(const Asked& asked, const Job& job, std::string_view here,
                             const std::string& ended);

}  // namespace earbudget::desk
