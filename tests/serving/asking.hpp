#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "serving/guard.hpp"
#include "serving/server.hpp"

namespace earbudget::test {

/// A server that listens but is asked in this process, and says what it was asked.
class Served {
  public:
    explicit Served(serving::Settings settings = {})
        : server(settings, [this](const serving::Asked& now) {
              asked.push_back(now);
              return serving::Reply::page("<p>answered</p>");
          }) {}

    using Headers = std::vector<std::pair<std::string, std::string>>;

    [[nodiscard]] std::string host() const { return fmt::format("127.0.0.1:{}", server.port()); }
    [[nodiscard]] std::string origin() const { return "http://" + host(); }

    /// "name=value" of the cookie that the address at the start gives.
    [[nodiscard]] std::string cookie() const {
        const std::string address = server.address();
        const std::string path =
            address.substr(address.find('/', std::string_view("http://").size()));
        const std::string answer = server.answer_to(request("GET", path, {{"Host", host()}}));
        const std::size_t at =
            answer.find("Set-Cookie: ") + std::string_view("Set-Cookie: ").size();
        return answer.substr(at, answer.find(';', at) - at);
    }

    [[nodiscard]] std::string token(const std::string& by = "") const {
        return server.guard().token_of(by);
    }

    /// A request as it travels.
    [[nodiscard]] static std::string request(std::string_view method, std::string_view target,
                                             const Headers& headers, std::string_view body = {}) {
        std::string text = fmt::format("{} {} HTTP/1.1\r\n", method, target);
        for (const auto& [name, value] : headers)
            text += fmt::format("{}: {}\r\n", name, value);
        return text + "\r\n" + std::string(body);
    }

    /// What a browser that was let in asks with.
    [[nodiscard]] Headers let_in() const { return {{"Host", host()}, {"Cookie", cookie()}}; }

    /// A form as that browser sends it.
    [[nodiscard]] std::string post(std::string_view target, const std::string& type,
                                   std::string_view body, const Headers& more = {}) const {
        Headers headers = let_in();
        headers.insert(headers.end(), {{"Origin", origin()},
                                       {"Content-Type", type},
                                       {"Content-Length", std::to_string(body.size())}});
        headers.insert(headers.end(), more.begin(), more.end());
        return request("POST", target, headers, body);
    }

    [[nodiscard]] int status(const std::string& request) const {
        return status_of(server.answer_to(request));
    }
    [[nodiscard]] static int status_of(const std::string& answer) {
        constexpr std::size_t place = std::string_view("HTTP/1.1 ").size();
        return answer.size() > place + 3 ? std::stoi(answer.substr(place, 3)) : 0;
    }

    std::vector<serving::Asked> asked = {};  ///< what the pages were asked
    serving::Server server;
};

}  // namespace earbudget::test
