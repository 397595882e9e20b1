#pragma once

#include <chrono>
#include <cstddef>
#include <string>

#include <httplib.h>

namespace earbudget::serving {

/// So long a request may take to arrive and to be answered, whatever trickles in.
inline constexpr std::chrono::seconds longest_request{10};

/// So many bytes of request line and headers are read. Own choice: some ten times what browsers
/// send.
inline constexpr std::size_t most_head_bytes = std::size_t{32} << 10U;

/// A connection that is given up when its time is over, however much or little still arrives: the
/// library's own limit begins anew with each byte.
class DeadlineStream : public httplib::Stream {
  public:
    using Clock = std::chrono::steady_clock;

    /// The socket stays the caller's.
    DeadlineStream(int socket, Clock::time_point until) : socket_(socket), until_(until) {}

    /// Headers are read: what follows is bounded by who reads it.
    void end_of_head() { head_left_ = no_more_bound; }

    [[nodiscard]] bool is_readable() const override;
    [[nodiscard]] bool is_writable() const override;
    ssize_t read(char* to, std::size_t size) override;
    ssize_t write(const char* from, std::size_t size) override;
    void get_remote_ip_and_port(std::string& ip, int& port) const override;
    void get_local_ip_and_port(std::string& ip, int& port) const override;
    [[nodiscard]] socket_t socket() const override { return socket_; }

  private:
    static constexpr std::size_t no_more_bound = ~std::size_t{0};
    [[nodiscard]] bool wait_for(short what) const;

    int socket_;
    Clock::time_point until_;
    std::size_t head_left_ = most_head_bytes;
    std::string ahead_ = {};  ///< read and not taken: the library asks for single bytes
    std::size_t taken_ = 0;
};

}  // namespace earbudget::serving
