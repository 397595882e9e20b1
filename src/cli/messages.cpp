#include "cli/messages.hpp"

#include <cstdio>

namespace earbudget::cli {

void say(const std::string& message) {
    std::string line = message;
    for (char& c : line) {
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = '?';
    }
    std::fprintf(stderr, "%s\n", line.c_str());
}

}  // namespace earbudget::cli
