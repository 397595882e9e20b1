#pragma once

#include <cstdint>
#include <string>

#include <sys/mman.h>
#include <unistd.h>

#include "fuzz/held.hpp"

namespace earbudget::fuzz {

/// A file in memory with a path, as long as it lives.
class FileInMemory {
  public:
    FileInMemory(const std::uint8_t* data, std::size_t size) : file_(::memfd_create("input", 0)) {
        hold(file_ >= 0, "a file in memory can be had");
        while (size > 0) {
            const ssize_t written = ::write(file_, data, size);
            hold(written > 0, "a file in memory can be written");
            data += written;
            size -= static_cast<std::size_t>(written);
        }
    }
    FileInMemory(const FileInMemory&) = delete;
    FileInMemory& operator=(const FileInMemory&) = delete;
    ~FileInMemory() { ::close(file_); }

    [[nodiscard]] std::string path() const { return "/proc/self/fd/" + std::to_string(file_); }

  private:
    int file_;
};

}  // namespace earbudget::fuzz
