#include "serving/guard.hpp"

#include <array>
#include <stdexcept>

#include <fmt/format.h>
#include <openssl/crypto.h>
#include <openssl/evp.h>
#include <openssl/hmac.h>
#include <openssl/rand.h>

#include "files/ids.hpp"
#include "report/html/markup.hpp"

namespace earbudget::serving {

namespace {

constexpr std::string_view entrance = "/enter/";

std::string in_hex(const unsigned char* bytes, std::size_t count) {
    std::string text;
    for (std::size_t i = 0; i < count; ++i)
        text += fmt::format("{:02x}", bytes[i]);
    return text;
}

std::string fresh_secret() {
    std::array<unsigned char, 24> bytes{};
    if (RAND_bytes(bytes.data(), static_cast<int>(bytes.size())) != 1)
        throw std::runtime_error("no random numbers for a secret");
    return in_hex(bytes.data(), bytes.size());
}

/// The value of a cookie in "a=1; b=2"; empty for none.
std::string_view cookie_in(std::string_view cookies, std::string_view name) {
    while (!cookies.empty()) {
        const std::size_t end = std::min(cookies.find(';'), cookies.size());
        std::string_view one = cookies.substr(0, end);
        cookies.remove_prefix(std::min(end + 1, cookies.size()));
        while (!one.empty() && one.front() == ' ')
            one.remove_prefix(1);
        if (one.size() > name.size() && one.starts_with(name) && one[name.size()] == '=')
            return one.substr(name.size() + 1);
    }
    return {};
}

}  // namespace

bool same_secret(std::string_view one, std::string_view other) {
    return one.size() == other.size() && CRYPTO_memcmp(one.data(), other.data(), one.size()) == 0;
}

Reply plain_refusal(int status, std::string_view title, std::string_view words) {
    return Reply::page(
        fmt::format("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                    "<title>{0}</title>\n</head>\n<body>\n<main>\n<h1>{0}</h1>\n<p>{1}</p>\n"
                    "</main>\n</body>\n</html>\n",
                    report::html::escaped(title), report::html::text(words)),
        status);
}

Guard::Guard(int port, std::optional<std::string> proxy_secret)
    : port_(port), proxy_secret_(std::move(proxy_secret)), secret_(fresh_secret()) {}

std::string Guard::address() const {
    return is_behind_proxy() ? fmt::format("http://127.0.0.1:{}/", port_)
                             : fmt::format("http://127.0.0.1:{}{}{}", port_, entrance, secret_);
}

std::string Guard::sealed(std::string_view what) const {
    std::array<unsigned char, EVP_MAX_MD_SIZE> bytes{};
    unsigned count = 0;
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the library's type of bytes.
    const auto* text = reinterpret_cast<const unsigned char*>(what.data());
    if (!HMAC(EVP_sha256(), secret_.data(), static_cast<int>(secret_.size()), text, what.size(),
              bytes.data(), &count))
        throw std::runtime_error("no seal could be made");
    return in_hex(bytes.data(), count);
}

std::string Guard::cookie_name(std::string_view of) const {
    // Cookies do not know ports: two desks of one machine must not take each other's.
    return fmt::format("earbudget-{}-{}", of, port_);
}

std::string Guard::token_of(const std::string& by) const {
    // Behind a web server each person has their own; alone there is one browser's.
    return sealed(is_behind_proxy() ? "form:" + by : "form");
}

bool Guard::is_token(const std::string& by, std::string_view token) const {
    return same_secret(token_of(by), token);
}

std::string Guard::cookie_of_teller(const std::string& by) const {
    return fmt::format("{}={}; HttpOnly; SameSite=Strict; Path=/", cookie_name("by"),
                       in_address(by));
}

bool Guard::knows_host(const std::string& host) const {
    if (is_behind_proxy()) return !host.empty();
    return host == fmt::format("127.0.0.1:{}", port_) || host == fmt::format("localhost:{}", port_);
}

bool Guard::is_own_origin(const Knock& knock) const {
    const bool stated = !knock.origin.empty();
    const std::string own = (is_behind_proxy() ? "https://" : "http://") + knock.host;
    if (stated && knock.origin != own) return false;
    if (knock.method == "GET") {
        // A page of elsewhere may lead here, which the cookie does not follow; it may not have
        // anything of here as a part of itself. Another port of this machine is "same-site", and
        // the cookie does follow from there.
        const bool elsewhere = knock.fetch_site == "cross-site" || knock.fetch_site == "same-site";
        return !elsewhere || knock.fetch_mode == "navigate";
    }
    // What changes something must say that it comes from here.
    return stated || knock.fetch_site == "same-origin";
}

Reply Guard::enter(std::string_view secret) const {
    if (is_behind_proxy() || !same_secret(secret, secret_)) {
        return plain_refusal(403, "Not the address of this start",
                             "The desk was started anew since this address was printed. Open the "
                             "address that it printed when it was started last.");
    }
    // A page that leads on, not a redirection: whatever led here, it is this page that asks next,
    // and so the cookie goes along.
    Reply reply = Reply::page(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<meta http-equiv=\"refresh\" content=\"0; url=/\">\n<title>The desk opens</title>\n"
        "</head>\n<body>\n<main>\n<h1>The desk opens</h1>\n"
        "<p><a href=\"/\">To the studies of today</a></p>\n</main>\n</body>\n</html>\n");
    reply.headers.emplace_back("Set-Cookie", fmt::format("{}={}; HttpOnly; SameSite=Strict; Path=/",
                                                         cookie_name("desk"), sealed("browser")));
    return reply;
}

Admitted Guard::admit(const Knock& knock) const {
    if (!knows_host(knock.host)) {
        return {plain_refusal(403, "Not this address",
                              "The desk answers to the address that it printed, and to no other "
                              "name of this machine.")};
    }
    if (knock.method != "GET" && knock.method != "POST") {
        Reply refusal = plain_refusal(405, "Not accepted", "Accepted: GET and POST.");
        refusal.headers.emplace_back("Allow", "GET, POST");
        return {std::move(refusal)};
    }
    if (!is_own_origin(knock)) {
        return {plain_refusal(403, "Asked by another page",
                              "Another page asked for this. Nothing was done.")};
    }
    if (is_behind_proxy()) return admit_by_proxy(knock);
    if (knock.path.starts_with(entrance) && knock.method == "GET")
        return {enter(std::string_view(knock.path).substr(entrance.size()))};
    if (!same_secret(cookie_in(knock.cookies, cookie_name("desk")), sealed("browser"))) {
        return {plain_refusal(403, "Open the printed address",
                              "The desk was started anew, or this browser has not opened the "
                              "address that it printed. Open that address; all that was recorded "
                              "is in the register.")};
    }
    const Form teller =
        Form::of_text("by=" + std::string(cookie_in(knock.cookies, cookie_name("by"))));
    const std::string& by = teller.get("by");
    return {std::nullopt, files::why_no_id(by) ? std::string() : by, false};
}

Admitted Guard::admit_by_proxy(const Knock& knock) const {
    if (!same_secret(knock.proxy_secret, *proxy_secret_)) {
        return {plain_refusal(403, "Only by the web server in front",
                              "The desk answers to the web server that shares its secret.")};
    }
    if (const auto why = files::why_no_id(knock.proxy_person)) {
        return {plain_refusal(403, "Nobody is named",
                              fmt::format("The web server in front names the person \"{}\"{}; "
                                          "accepted: {}",
                                          knock.proxy_person, *why, files::accepted_ids))};
    }
    return {std::nullopt, knock.proxy_person, true};
}

}  // namespace earbudget::serving
