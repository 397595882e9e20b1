#include "desk/assets.hpp"

#include <algorithm>

#include "desk/frame.hpp"
#include "report/html/style.hpp"

namespace earbudget::desk {

namespace {

std::string type_of(std::string_view name) {
    if (name.ends_with(".css")) return "text/css; charset=utf-8";
    return name.ends_with(".svg") ? "image/svg+xml" : "text/javascript; charset=utf-8";
}

Reply asset(const Opened& /*desk*/, const Asked& asked, const Parts& parts) {
    // Browsers ask for this name where a page, as a report does, names no icon.
    const std::string name = parts.empty() ? "icon.svg" : parts.front();
    const auto found = std::ranges::find(assets(), name, &Asset::name);
    if (found == assets().end()) return refused(asked, 404, "There is no such file", {});
    Reply reply{200,
                type_of(name),
                name.ends_with(".css") ? std::string(report::html::style_sheet) : std::string(),
                {},
                {}};
    reply.body += found->content;
    return reply;
}

}  // namespace

std::vector<Route> asset_routes() {
    return {{"GET", "/desk/*", asset}, {"GET", "/favicon.ico", asset}};
}

}  // namespace earbudget::desk
