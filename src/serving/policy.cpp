#include "serving/policy.hpp"

#include <array>

#include <fmt/format.h>
#include <openssl/evp.h>

namespace earbudget::serving {

namespace {

/// In base 64, as policies have it.
std::string sum_of(std::string_view text) {
    std::array<unsigned char, EVP_MAX_MD_SIZE> sum{};
    unsigned bytes = 0;
    EVP_Digest(text.data(), text.size(), sum.data(), &bytes, EVP_sha256(), nullptr);
    std::array<unsigned char, 4 * ((EVP_MAX_MD_SIZE + 2) / 3) + 1> digits{};
    const int count = EVP_EncodeBlock(digits.data(), sum.data(), static_cast<int>(bytes));
    std::string words;
    for (int i = 0; i < count; ++i)
        words += static_cast<char>(digits[static_cast<std::size_t>(i)]);
    return words;
}

/// Sums of all style elements that stand in the page.
std::string styles_in(const Reply& reply) {
    constexpr std::string_view begin = "<style>", end = "</style>";
    std::string sums;
    if (!reply.type.starts_with("text/html")) return sums;
    const std::string_view body = reply.body;
    for (std::size_t at = body.find(begin); at != std::string_view::npos;
         at = body.find(begin, at + 1)) {
        const std::size_t from = at + begin.size();
        const std::size_t to = body.find(end, from);
        if (to == std::string_view::npos) break;
        sums += fmt::format(" 'sha256-{}'", sum_of(body.substr(from, to - from)));
    }
    return sums;
}

}  // namespace

std::vector<std::pair<std::string, std::string>> policy_headers(const Reply& reply) {
    return {
        {"Content-Security-Policy",
         fmt::format("default-src 'none'; script-src 'self'; style-src 'self'{}; img-src 'self'; "
                     "connect-src 'self'; form-action 'self'; base-uri 'none'; "
                     "frame-ancestors 'none'",
                     styles_in(reply))},
        {"X-Content-Type-Options", "nosniff"},
        {"X-Frame-Options", "DENY"},
        // Not "no-referrer": browsers then hide the origin of forms, which is checked.
        {"Referrer-Policy", "same-origin"},
        {"Cross-Origin-Opener-Policy", "same-origin"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Cache-Control", "no-store"},
    };
}

}  // namespace earbudget::serving
