// Who may ask: every combination of what a request says of where it comes from.
#include <optional>

#include "serving/asking.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr const char* shared = "0123456789abcdef0123456789abcdef";

using Value = std::optional<std::string>;

void put(Served::Headers& headers, const char* name, const Value& value) {
    if (value) headers.emplace_back(name, *value);
}

}  // namespace

TEST_CASE(
    "a browser is answered with this host, the cookie and, to change something, this origin") {
    Served served;
    const std::string host = served.host(), port = std::to_string(served.server.port());
    const std::string cookie = served.cookie(), body = "token=" + served.token();
    const std::vector<Value> hosts = {host,        "localhost:" + port,       std::nullopt,
                                      "127.0.0.1", "rebound.example:" + port, "127.0.0.1:1",
                                      host + ".x", "127.0.0.1:" + port + "0"};
    const std::vector<Value> cookies = {cookie,       "a=1; " + cookie + "; b=2",
                                        std::nullopt, cookie + "0",
                                        "x" + cookie, cookie.substr(0, cookie.find('=') + 1)};
    const std::vector<Value> origins = {"own",
                                        std::nullopt,
                                        "null",
                                        "https://" + host,
                                        "http://other.example",
                                        "http://127.0.0.1:1"};
    const std::vector<Value> sites = {std::nullopt, "same-origin", "none", "same-site",
                                      "cross-site"};
    int rows = 0, answered = 0;
    for (const char* method : {"GET", "POST"}) {
        for (const Value& h : hosts)
            for (const Value& c : cookies)
                for (const Value& o : origins)
                    for (const Value& site : sites)
                        for (const Value& mode : {Value(), Value("navigate"), Value("no-cors")}) {
                            const bool post = std::string_view(method) == "POST";
                            const bool own = o == Value("own");
                            Served::Headers headers;
                            put(headers, "Host", h);
                            put(headers, "Cookie", c);
                            put(headers, "Origin", own ? Value("http://" + h.value_or("")) : o);
                            put(headers, "Sec-Fetch-Site", site);
                            put(headers, "Sec-Fetch-Mode", mode);
                            if (post)
                                headers.emplace_back("Content-Length", std::to_string(body.size()));
                            const bool here = h == Value(host) || h == Value("localhost:" + port);
                            const bool let_in = c == cookies[0] || c == cookies[1];
                            const bool foreign =
                                site == Value("same-site") || site == Value("cross-site");
                            const bool may = here && let_in && (own || !o) &&
                                             (post ? own || site == Value("same-origin")
                                                   : !foreign || mode == Value("navigate"));
                            const int status = served.status(
                                Served::request(method, "/", headers, post ? body : ""));
                            CHECK_MESSAGE(status == (may ? 200 : 403),
                                          Served::request(method, "/", headers));
                            ++rows;
                            answered += may ? 1 : 0;
                        }
    }
    CHECK(rows == 2 * 8 * 6 * 6 * 5 * 3);
    CHECK(answered == 4 * (2 * (3 * 3 + 2) + 15 + 3));
    CHECK(served.asked.size() == static_cast<std::size_t>(answered));
}

TEST_CASE("only the secret of this start gives the cookie, and the page leads on by itself") {
    const Served served, other;
    const auto enter = [&](const std::string& secret) {
        return served.server.answer_to(
            Served::request("GET", "/enter/" + secret, {{"Host", served.host()}}));
    };
    const std::string address = served.server.address();
    const std::string secret = address.substr(address.rfind('/') + 1);
    CHECK(secret.size() == 48);
    const std::string answer = enter(secret);
    CHECK(Served::status_of(answer) == 200);
    CHECK(answer.find("; HttpOnly; SameSite=Strict; Path=/\r\n") != std::string::npos);
    CHECK(answer.find("content=\"0; url=/\"") != std::string::npos);
    const std::string others = other.server.address();
    for (const std::string& wrong :
         {std::string(), secret.substr(1), secret + "0", others.substr(others.rfind('/') + 1)}) {
        CHECK(Served::status_of(enter(wrong)) == 403);
        CHECK(enter(wrong).find("Set-Cookie") == std::string::npos);
    }
    CHECK(served.cookie() != other.cookie());
    CHECK(served.cookie().find(secret) == std::string::npos);
}

TEST_CASE("a form without the token of this start does nothing") {
    Served served;
    const Served other;
    const std::string form = "application/x-www-form-urlencoded";
    CHECK(served.status(served.post("/x", form, "token=" + served.token())) == 200);
    CHECK(served.asked.size() == 1);
    for (const std::string& body : {std::string(), std::string("token="), "token=" + other.token(),
                                    "token=" + served.token().substr(1), "Token=" + served.token()})
        CHECK(served.status(served.post("/x?token=" + served.token(), form, body)) == 403);
    CHECK(served.asked.size() == 1);
}

TEST_CASE("who tells things is taken from the cookie where it could be a code, else is nobody") {
    Served served;
    const std::string name = served.cookie().substr(0, served.cookie().find('='));
    const std::string by_name = "earbudget-by" + name.substr(std::string("earbudget-desk").size());
    const auto by = [&](const std::string& value) {
        Served::Headers headers = {{"Host", served.host()},
                                   {"Cookie", served.cookie() + "; " + by_name + "=" + value}};
        CHECK(served.status(Served::request("GET", "/", headers)) == 200);
        return served.asked.back().by;
    };
    CHECK(by("operator-1") == "operator-1");
    CHECK(by("J%C3%B6rg%20%2B%2025%25") == "J\xc3\xb6rg + 25%");
    for (const char* nobody : {"", "%00", "a%0D%0AX: y", "%E2%80%AE", "%FF", "%20a"})
        CHECK(by(nobody).empty());
}

TEST_CASE("behind a web server the secret and a person are asked for, and no cookie") {
    Served served({.proxy_secret = shared});
    const auto status = [&](const Served::Headers& headers) {
        return served.status(Served::request("GET", "/", headers));
    };
    const Served::Headers good = {
        {"Host", "desk.example"}, {"Earbudget-Secret", shared}, {"Earbudget-Person", "anna"}};
    CHECK(status(good) == 200);
    CHECK(served.asked.back().by == "anna");
    CHECK(served.asked.back().by_is_settled);
    CHECK(served.server.address().find("/enter/") == std::string::npos);
    for (std::size_t lacking = 0; lacking < good.size(); ++lacking) {
        Served::Headers headers = good;
        headers.erase(headers.begin() + static_cast<std::ptrdiff_t>(lacking));
        CHECK_MESSAGE(status(headers) == 403, good[lacking].first);
    }
    for (const char* person : {"", "a\tb",
                               "\xe2\x80\xae"
                               "anna",
                               "\xff"}) {
        Served::Headers headers = good;
        headers[2].second = person;
        CHECK_MESSAGE(status(headers) == 403, person);
    }
    Served::Headers twice = good;
    twice.emplace_back("Earbudget-Person", "berta");
    CHECK(status(twice) == 400);
    twice = good;
    twice[1].second = std::string(shared) + "0";
    CHECK(status(twice) == 403);
    // A form is of one person, and of the address that the browser shows.
    const auto post = [&](const std::string& person, const std::string& origin) {
        const std::string body = "token=" + served.token("anna");
        Served::Headers headers = good;
        headers[2].second = person;
        headers.insert(headers.end(),
                       {{"Origin", origin}, {"Content-Length", std::to_string(body.size())}});
        return served.status(Served::request("POST", "/", headers, body));
    };
    CHECK(post("anna", "https://desk.example") == 200);
    CHECK(post("anna", "http://desk.example") == 403);
    CHECK(post("anna", "https://other.example") == 403);
    CHECK(post("berta", "https://desk.example") == 403);
}

TEST_CASE("every answer says that nothing is loaded from elsewhere, framed or kept") {
    const Served served;
    for (const std::string& request :
         {Served::request("GET", "/", served.let_in()), Served::request("GET", "/", {}),
          std::string("nonsense\r\n\r\n"), Served::request("PUT", "/", served.let_in())}) {
        const std::string answer = served.server.answer_to(request);
        for (const char* header :
             {"\r\nContent-Security-Policy: default-src 'none'; script-src 'self'; style-src "
              "'self'",
              "frame-ancestors 'none'\r\n", "\r\nX-Content-Type-Options: nosniff\r\n",
              "\r\nCache-Control: no-store\r\n", "\r\nReferrer-Policy: same-origin\r\n",
              "\r\nConnection: close\r\n"})
            CHECK_MESSAGE(answer.find(header) != std::string::npos, header);
        CHECK(answer.find("'unsafe-") == std::string::npos);
    }
}
