#pragma once

#include <array>
#include <chrono>
#include <memory>
#include <string>

#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/strand.hpp>
#include <boost/beast/core/tcp_stream.hpp>

#include "serving/conversation.hpp"

namespace earbudget::serving {

/// One browser's connection: one request and its answer, given up when its time is over, however
/// much or little still arrives or is taken. No thread waits for it.
class Connection : public std::enable_shared_from_this<Connection> {
  public:
    Connection(boost::asio::ip::tcp::socket socket, const Guard& guard, const Answering& answering);

    void begin(std::chrono::milliseconds longest);

    /// Gives it up, from any thread, unless an answer is being made or sent.
    void give_way();

    /// Whether what it asks was let in: it does not give way to others.
    [[nodiscard]] bool is_admitted() const { return is_admitted_; }

  private:
    void read();
    void answer();
    void linger();

    boost::beast::tcp_stream stream_;
    Conversation conversation_;
    std::atomic<bool> is_admitted_ = false;
    bool is_answering_ = false;
    std::array<char, 32768> bytes_{};
    std::string answer_ = {};
};

}  // namespace earbudget::serving
