#include "serving/deadline_stream.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>

#include <poll.h>
#include <sys/socket.h>

namespace earbudget::serving {

bool DeadlineStream::wait_for(short what) const {
    for (;;) {
        const auto left =
            std::chrono::duration_cast<std::chrono::milliseconds>(until_ - Clock::now()).count();
        if (left <= 0) return false;
        pollfd watched{socket_, what, 0};
        const int ready = ::poll(&watched, 1, static_cast<int>(left));
        if (ready > 0) return true;
        if (ready == 0 || errno != EINTR) return false;
    }
}

bool DeadlineStream::is_readable() const { return taken_ < ahead_.size() || wait_for(POLLIN); }

bool DeadlineStream::is_writable() const { return wait_for(POLLOUT); }

ssize_t DeadlineStream::read(char* to, std::size_t size) {
    if (taken_ == ahead_.size()) {
        std::array<char, 16384> bytes{};
        ssize_t got = -1;
        do {
            if (!wait_for(POLLIN)) return -1;
            got = ::recv(socket_, bytes.data(), bytes.size(), MSG_DONTWAIT);
        } while (got < 0 && (errno == EINTR || errno == EAGAIN));
        if (got <= 0) return got;
        ahead_.assign(bytes.data(), static_cast<std::size_t>(got));
        taken_ = 0;
    }
    std::size_t count = std::min(size, ahead_.size() - taken_);
    if (head_left_ != no_more_bound) {
        count = std::min(count, head_left_);
        if (count == 0) return -1;
        head_left_ -= count;
    }
    std::memcpy(to, ahead_.data() + taken_, count);
    taken_ += count;
    return static_cast<ssize_t>(count);
}

ssize_t DeadlineStream::write(const char* from, std::size_t size) {
    ssize_t sent = -1;
    do {
        if (!wait_for(POLLOUT)) return -1;
        sent = ::send(socket_, from, size, MSG_DONTWAIT | MSG_NOSIGNAL);
    } while (sent < 0 && (errno == EINTR || errno == EAGAIN));
    return sent;
}

void DeadlineStream::get_remote_ip_and_port(std::string& ip, int& port) const {
    ip = "127.0.0.1";  // nobody else can connect
    port = 0;
}

void DeadlineStream::get_local_ip_and_port(std::string& ip, int& port) const {
    get_remote_ip_and_port(ip, port);
}

}  // namespace earbudget::serving
