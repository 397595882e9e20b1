#pragma once

#include <atomic>
#include <chrono>
#include <string>
#include <vector>

namespace earbudget::desk {

/// What a child may use. Own choices: `measure` of an hour takes some seconds and 60 MB.
struct ChildLimits {
    std::chrono::seconds longest{300};
    std::size_t memory_bytes = std::size_t{1} << 30U;
    std::size_t written_file_bytes = std::size_t{64} << 20U;
    std::size_t output_bytes = std::size_t{32} << 20U;
    const std::atomic<bool>* ends = nullptr;  ///< where it becomes true the child is ended soon
};

struct ChildAnswer {
    int status = -1;  ///< as the command line ends with; -1: it was ended
    bool too_long = false;
    std::string output = {}, errors = {};
};

/// Runs this program as a process of its own on what came from a browser: whatever that file does
/// to a reader, the desk goes on. It has no input, inherits no file and has no more than its
/// limits; it runs in `folder`.
[[nodiscard]] ChildAnswer run_child(const std::string& program,
                                    const std::vector<std::string>& arguments,
                                    const std::string& folder, const ChildLimits& limits = {});

}  // namespace earbudget::desk
