#pragma once

#include <atomic>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "serving/exchange.hpp"

namespace earbudget::serving {

class Guard;

/// How pages are served.
struct Settings {
    int port = 0;  ///< 0: any that is free
    std::optional<std::string> proxy_secret = std::nullopt;
};

/// Answers browsers of this machine over HTTP 1.1, one request a connection, by some threads at
/// once; what may not ask is refused before its body is read (Guard). Bound to the loopback
/// interface and to nothing else.
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
    [[nodiscard]] std::string answer_to(std::string_view request);

  private:
    class Inside;
    std::unique_ptr<Inside> inside_;
};

/// So many bytes a form may have, and a file that comes with one. Own choices: a plan of 2,000
/// rows; an hour of two channels of 24 bit.
inline constexpr std::size_t most_form_bytes = std::size_t{2} << 20U;
inline constexpr std::size_t most_upload_bytes = std::size_t{1} << 30U;

}  // namespace earbudget::serving
