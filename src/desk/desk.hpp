#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "serving/exchange.hpp"

namespace earbudget::desk {

using serving::Asked;
using serving::Form;
using serving::Reply;
using serving::Upload;

class Studies;
class Jobs;
[[nodiscard]] std::shared_ptr<Jobs> no_jobs_yet();

/// What the desk was opened on.
struct Opened {
    std::string folder;                                     ///< with studies, cards, catalogues
    std::optional<std::string> in_register = std::nullopt;  ///< none: nothing is recorded
    std::string program;  ///< this program's own file, for what runs in a process of its own
    std::shared_ptr<Studies> studies = nullptr;  ///< what was assessed (desk/studies.hpp)
    std::shared_ptr<Jobs> jobs = no_jobs_yet();  ///< what takes long (desk/jobs.hpp)
};

/// A page by its place; `parts` are the segments of the path that its pattern leaves open.
using Parts = std::vector<std::string>;
using Answer = Reply (*)(const Opened& desk, const Asked& asked, const Parts& parts);

/// A row of the table of all pages. In `path` a segment "*" stands for any. What changes something
/// is POST, and answers with where to go next.
struct Route {
    std::string_view method, path;
    Answer answer;
};

// The pages, each in its own files; a row is all that makes one reachable.
[[nodiscard]] std::vector<Route> today_routes();
[[nodiscard]] std::vector<Route> session_routes();
[[nodiscard]] std::vector<Route> register_routes();
[[nodiscard]] std::vector<Route> try_routes();
[[nodiscard]] std::vector<Route> sounds_routes();
[[nodiscard]] std::vector<Route> review_routes();
[[nodiscard]] std::vector<Route> measure_routes();
[[nodiscard]] std::vector<Route> predict_routes();

/// Every page of the desk.
[[nodiscard]] const std::vector<Route>& all_routes();

/// Finds the page and has it answer. Bad input becomes a page that says what is wrong and what is
/// accepted.
[[nodiscard]] Reply answer(const Opened& desk, const Asked& asked);

}  // namespace earbudget::desk
