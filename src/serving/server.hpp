#pragma once

#include <chrono>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "serving/exchange.hpp"

namespace earbudget::serving {

class Guard;

/// So long a request may take to arrive and to be answered, whatever trickles in.
inline constexpr std::chrono::milliseconds longest_request{10'000};

/// How pages are served.
struct Settings {
    int port = 0;  ///< 0: any that is free
    std::optional<std::string> proxy_secret = std::nullopt;
    std::chrono::milliseconds longest = longest_request;
};

/// Answers browsers of this machine over HTTP 1.1, one request a connection; what may not ask is
/// refused before its body is read (Guard). No thread waits for a connection: whoever is slow takes
/// a place in a list, and those who are let in never wait for those who are not. Bound to the
/// loopback interface and to nothing else.
class Server {
  public:
    /// Listens, but does not answer yet. Throws InputError where the port is taken.
    Server(const Settings& settings, Answering answering);
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;
    ~Server();

    [[nodiscard]] int port() const;
    /// What is opened in a browser, secret included.
    [[nodiscard]] std::string address() const;
    [[nodiscard]] const Guard& guard() const;

    /// Answers until stop() is called; returns once what was begun is answered.
    void serve();
    /// May be called from any thread.
    void stop();

    /// The answer to a request as it travels, head and body, from `request`: what a fuzzer tries.
    [[nodiscard]] std::string answer_to(std::string_view request) const;

  private:
    class Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace earbudget::serving
