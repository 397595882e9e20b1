#include "desk/assets.hpp"

#include <algorithm>

#include "desk/frame.hpp"
#include "report/html/style.hpp"

namespace earbudget::desk {

namespace {

Reply asset(const Opened& /*desk*/, const Asked& asked, const Parts& parts) {
    const auto found = std::ranges::find(assets(), parts.front(), &Asset::name);
    if (found == assets().end()) return refused(asked, 404, "There is no such file", {});
    const bool style = found->name.ends_with(".css");
    Reply reply{200, style ? "text/css; charset=utf-8" : "text/javascript; charset=utf-8",
                style ? std::string(report::html::style_sheet) : std::string(), {}, {}};
    reply.body += found->content;
    return reply;
}

}  // namespace

std::vector<Route> asset_routes() { return {{"GET", "/desk/*", asset}}; }

}  // namespace earbudget::desk
