#include <fmt/format.h>
#include <sys/stat.h>

#include "earbudget/study/input_error.hpp"
#include "files/text_inputs.hpp"
#include "serving/guard.hpp"

namespace earbudget::serving {

namespace {

constexpr std::size_t shortest_secret = 32;  // own choice: 128 bits as hexadecimal digits
constexpr std::size_t longest_secret = 1024;

}  // namespace

std::string read_proxy_secret(const std::string& path) {
    files::TextInputs inputs;
    std::string text = inputs.text(path, {path}, longest_secret, "secret");
    while (!text.empty() && (text.back() == '\n' || text.back() == '\r'))
        text.pop_back();
    for (const char letter : text) {
        // It travels as the value of a header.
        if (letter < '!' || letter > '~') {
            throw InputError({path},
                             "holds more than one line of visible characters; accepted: "
                             "one line such as \"openssl rand -hex 32\" makes");
        }
    }
    if (text.size() < shortest_secret) {
        throw InputError({path}, fmt::format("is a secret of {} characters; accepted: {} or more",
                                             text.size(), shortest_secret));
    }
    struct stat found {};
    if (::stat(path.c_str(), &found) == 0 && (found.st_mode & (S_IRGRP | S_IROTH | S_IWOTH)) != 0) {
        throw InputError({path},
                         "can be read by others on this machine; accepted: a file of one's "
                         "own, as after chmod 600");
    }
    return text;
}

}  // namespace earbudget::serving
