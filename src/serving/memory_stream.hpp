#pragma once

#include <algorithm>
#include <cstring>
#include <string>
#include <string_view>

#include <httplib.h>

namespace earbudget::serving {

/// A request that is there as a whole, and room for its answer.
class MemoryStream : public httplib::Stream {
  public:
    explicit MemoryStream(std::string_view request) : left_(request) {}

    [[nodiscard]] bool is_readable() const override { return !left_.empty(); }
    [[nodiscard]] bool is_writable() const override { return true; }
    ssize_t read(char* to, std::size_t size) override {
        const std::size_t count = std::min(size, left_.size());
        std::memcpy(to, left_.data(), count);
        left_.remove_prefix(count);
        return static_cast<ssize_t>(count);
    }
    ssize_t write(const char* from, std::size_t size) override {
        written_.append(from, size);
        return static_cast<ssize_t>(size);
    }
    void get_remote_ip_and_port(std::string& ip, int& port) const override {
        ip = "127.0.0.1";
        port = 0;
    }
    void get_local_ip_and_port(std::string& ip, int& port) const override {
        get_remote_ip_and_port(ip, port);
    }
    [[nodiscard]] socket_t socket() const override { return -1; }

    [[nodiscard]] const std::string& written() const { return written_; }

  private:
    std::string_view left_;
    std::string written_ = {};
};

}  // namespace earbudget::serving
