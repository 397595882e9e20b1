#include "serving/sent.hpp"

#include <string_view>

#include <boost/beast/http/status.hpp>
#include <fmt/format.h>

#include "serving/policy.hpp"

namespace earbudget::serving {

namespace {

/// A header's value as it may travel: no page makes one of several lines.
std::string one_line(std::string_view value) {
    std::string line;
    for (const char letter : value)
        if (letter < 0 || letter >= ' ') line += letter;
    return line;
}

}  // namespace

std::string as_sent(const Reply& reply, bool without_body) {
    const auto reason = boost::beast::http::obsolete_reason(
        boost::beast::http::int_to_status(static_cast<unsigned>(reply.status)));
    std::string text = fmt::format(
        "HTTP/1.1 {} {}\r\nConnection: close\r\nContent-Length: {}\r\n"
        "Content-Type: {}\r\n",
        reply.status, std::string_view(reason.data(), reason.size()), reply.body.size(),
        reply.type);
    for (const auto& headers : {policy_headers(reply), reply.headers})
        for (const auto& [name, value] : headers)
            text += fmt::format("{}: {}\r\n", name, one_line(value));
    text += "\r\n";
    return without_body ? text : text + reply.body;
}

}  // namespace earbudget::serving
