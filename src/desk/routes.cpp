#include <exception>
#include <new>

#include <fmt/format.h>

#include "desk/assets.hpp"
#include "desk/desk.hpp"
#include "desk/frame.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/error_list.hpp"
#include "report/words/words.hpp"

namespace earbudget::desk {

namespace {

/// So long one answer may compute, as `WorkMeter` counts: a browser waits for it, and the request
/// ends after ten seconds. Own choice.
constexpr double most_seconds_of_an_answer = 6.0;

std::vector<std::string> segments_of(std::string_view path) {
    std::vector<std::string> segments;
    while (!path.empty()) {
        path.remove_prefix(1);  // the slash
        const std::size_t end = std::min(path.find('/'), path.size());
        segments.emplace_back(path.substr(0, end));
        path.remove_prefix(end);
    }
    return segments;
}

/// The open segments, where the path is of this pattern.
std::optional<Parts> match(std::string_view pattern, const std::vector<std::string>& path) {
    const std::vector<std::string> wanted = segments_of(pattern);
    if (wanted.size() != path.size()) return std::nullopt;
    Parts parts;
    for (std::size_t i = 0; i < path.size(); ++i) {
        if (wanted[i] == "*" && !path[i].empty()) {
            parts.push_back(path[i]);
        } else if (wanted[i] != path[i]) {
            return std::nullopt;
        }
    }
    return parts;
}

Reply found_and_answered(const Opened& desk, const Asked& asked) {
    const std::vector<std::string> path = segments_of(asked.path);
    for (const Route& route : all_routes()) {
        if (route.method != asked.method) continue;
        if (const auto parts = match(route.path, path)) return route.answer(desk, asked, *parts);
    }
    return refused(asked, 404, "There is no such page",
                   {"Accepted: what the links at the top of each page lead to."});
}

}  // namespace

const std::vector<Route>& all_routes() {
    static const std::vector<Route> all = [] {
        std::vector<Route> routes;
        for (const auto& some :
             {today_routes(), session_routes(), try_routes(), register_routes(), sounds_routes(),
              review_routes(), measure_routes(), predict_routes(), asset_routes()})
            routes.insert(routes.end(), some.begin(), some.end());
        return routes;
    }();
    return all;
}

Reply answer(const Opened& desk, const Asked& asked) {
    constexpr int bad_input = 422, fault = 500;
    WorkMeter meter(most_seconds_of_an_answer);
    const WorkMeter::Counting counting(&meter);
    try {
        return found_and_answered(desk, asked);
    } catch (const files::InputErrors& errors) {
        return refused(asked, bad_input, "That cannot be used as it is", words_of(errors));
    } catch (const InputError& error) {
        return refused(asked, bad_input, "That cannot be used as it is", {error.what()});
    } catch (const Obstacle& obstacle) {
        return refused(asked, bad_input, "That cannot be computed", {text_of(obstacle)});
    } catch (const TooMuchWork&) {
        return refused(asked, bad_input, "Too much to be computed while a page waits",
                       {"The command line computes it: earbudget assess."});
    } catch (const std::bad_alloc&) {
        return refused(asked, fault, "Not enough memory", {"Nothing was done."});
    } catch (const std::exception& error) {
        return refused(asked, fault, "That went wrong", {error.what()});
    }
}

}  // namespace earbudget::desk
