// Requests as no browser sends them.
#include "serving/asking.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

std::string repeated(std::string_view text, std::size_t times) {
    std::string all;
    for (std::size_t n = 0; n < times; ++n)
        all += text;
    return all;
}

}  // namespace

TEST_CASE("addresses that no link makes are refused before a page sees them") {
    Served served;
    const auto status = [&](const std::string& target) {
        return served.status(Served::request("GET", target, served.let_in()));
    };
    CHECK(status("/session/12?x=%00&y=../..") == 200);
    CHECK(served.asked.back().path == "/session/12");
    CHECK(served.asked.back().query.get("x") == std::string(1, '\0'));
    CHECK(status("/a%20b%C3%B6/...") == 200);
    CHECK(served.asked.back().path == "/a b\xc3\xb6/...");
    const std::size_t before = served.asked.size();
    for (const char* target : {"/%00",
                               "/a%00.toml",
                               "/..",
                               "/../etc/passwd",
                               "/a/../b",
                               "/%2e%2e/b",
                               "/a/%2E./b",
                               "/./a",
                               "/a\\b",
                               "/a%5cb",
                               "/%0d%0aX:%20y",
                               "/%7f",
                               "/%",
                               "/%4",
                               "/%zz",
                               "/%ff",
                               "/%c0%af",
                               "/a#b",
                               "a",
                               "*",
                               "http://127.0.0.1/",
                               "//\x01",
                               "/%ed%a0%80"})
        CHECK_MESSAGE(status(target) == 400, target);
    CHECK(status("/" + repeated("a", 2'000)) == 414);
    CHECK(status("/" + repeated("a", 40'000)) == 431);
    CHECK(status("/?q=" + repeated("a", 20'000)) == 200);
    CHECK(served.asked.size() == before + 1);
}

TEST_CASE("other methods are refused, and their bodies never read") {
    Served served;
    for (const char* method : {"HEAD", "OPTIONS", "PUT", "DELETE", "TRACE", "PATCH", "PROPFIND",
                               "get", "CONNECT", "X"}) {
        const std::string answer =
            served.server.answer_to(Served::request(method, "/", served.let_in()));
        CHECK_MESSAGE(Served::status_of(answer) == 405, method);
        CHECK(answer.find("\r\nAllow: GET, POST\r\n") != std::string::npos);
        if (std::string_view(method) == "HEAD")
            CHECK(answer.substr(answer.size() - 4) == "\r\n\r\n");
    }
    CHECK(served.status("CONNECT 127.0.0.1:22 HTTP/1.1\r\n\r\n") == 400);
    CHECK(served.asked.empty());
}

TEST_CASE("a request that could be read in two ways is read in none") {
    Served served;
    const std::string body = "token=" + served.token();
    const std::string length = std::to_string(body.size());
    const auto status = [&](const Served::Headers& more, std::string_view sent) {
        Served::Headers headers = served.let_in();
        headers.emplace_back("Origin", served.origin());
        headers.insert(headers.end(), more.begin(), more.end());
        return served.status(Served::request("POST", "/", headers, sent));
    };
    const std::string chunked = fmt::format("{:x}\r\n{}\r\n0\r\n\r\n", body.size(), body);
    CHECK(status({{"Content-Length", length}}, body) == 200);
    CHECK(status({{"Transfer-Encoding", "chunked"}}, chunked) == 200);
    CHECK(served.asked.size() == 2);
    const std::vector<Served::Headers> odd = {
        {{"Content-Length", length}, {"Transfer-Encoding", "chunked"}},
        {{"Transfer-Encoding", "chunked"}, {"Content-Length", length}},
        {{"Content-Length", length}, {"Content-Length", "1"}},
        {{"Content-Length", length + ", 1"}},
        {{"Content-Length", "-1"}},
        {{"Content-Length", "+" + length}},
        {{"Content-Length", "99999999999999999999"}},
        {{"Content-Length", length}, {"Host", "other.example"}},
        {{"Content-Length", length}, {"Origin", "http://other.example"}},
        {{"Content-Length", length}, {"Content-Encoding", "gzip"}},
        {{"Content-Length", length}, {"Content-Type", "text/plain"}, {"Content-Type", "text/html"}},
        {{"Content-Length", length}, {"Bad Name", "x"}},
        {{"Content-Length", length}, {"Name", "a\x01"}},
        {{"Transfer-Encoding", "chunked"}, {"Transfer-Encoding", "chunked"}}};
    for (const auto& headers : odd)
        CHECK_MESSAGE(status(headers, body) == 400, Served::request("", "", headers));
    for (const char* chunks : {"zz\r\n", "5;\x01\r\n", "ffffffffffffffffff\r\n", "-1\r\n"})
        CHECK_MESSAGE(status({{"Transfer-Encoding", "chunked"}}, chunks) == 400, chunks);
    CHECK(served.asked.size() == 2);
    // A second request behind the first is not looked at.
    CHECK(status({{"Content-Length", length}}, body + served.post("/two", "", body)) == 200);
    CHECK(served.asked.size() == 3);
}

TEST_CASE("heads are bounded, however they are long") {
    const Served served;
    const auto status = [&](const std::string& more) {
        std::string request = Served::request("GET", "/", served.let_in());
        return served.status(request.insert(request.size() - 2, more));
    };
    CHECK(status("X: " + repeated("a", 20'000) + "\r\n") == 200);
    CHECK(status("X: " + repeated("a", 40'000) + "\r\n") == 431);
    CHECK(status(repeated("X: a\r\n", 7'000)) == 431);
    CHECK(status("Range: bytes=" + repeated("0-1,", 5'000) + "\r\n") == 200);
    CHECK(status("Cookie: " + repeated("a=b; ", 4'000) + "\r\n") == 200);
    CHECK(served.status(repeated("a", 40'000)) == 431);
    CHECK(served.status("GET / HTTP/2.0\r\n\r\n") == 400);
    CHECK(served.status("GET / HTTP/1.1\nHost: x\n\n") == 400);
    CHECK(served.status("GET / HTTP/1.1\r\nHost : x\r\n\r\n") == 400);
    CHECK(served.status("") == 400);
    CHECK(served.status("GET / HTTP/1.1\r\nHos") == 400);
}

TEST_CASE("what a page says of itself stays in its line") {
    serving::Server server({}, [](const serving::Asked&) {
        return serving::Reply::see("/x\r\nSet-Cookie: a=b\r\n\r\n<script>");
    });
    Served other;  // whose cookie does not count here
    const std::string address = server.address();
    const std::string host = fmt::format("127.0.0.1:{}", server.port());
    std::string answer = server.answer_to(
        Served::request("GET", address.substr(address.find("/enter")), {{"Host", host}}));
    const std::size_t at = answer.find("earbudget-desk-");
    const std::string cookie = answer.substr(at, answer.find(';', at) - at);
    answer = server.answer_to(Served::request("GET", "/", {{"Host", host}, {"Cookie", cookie}}));
    CHECK(Served::status_of(answer) == 303);
    CHECK(answer.find("Location: /xSet-Cookie: a=b<script>\r\n") != std::string::npos);
}

TEST_CASE("a fault of a page is told, and the next request is answered") {
    int asked = 0;
    serving::Server server({.proxy_secret = "0123456789abcdef0123456789abcdef"},
                           [&](const serving::Asked&) -> serving::Reply {
                               if (++asked == 1) throw std::runtime_error("<b>broken");
                               return serving::Reply::page("well");
                           });
    const std::string request =
        Served::request("GET", "/",
                        {{"Host", "x"},
                         {"Earbudget-Secret", "0123456789abcdef0123456789abcdef"},
                         {"Earbudget-Person", "a"}});
    const std::string answer = server.answer_to(request);
    CHECK(Served::status_of(answer) == 500);
    CHECK(answer.find("&lt;b&gt;broken") != std::string::npos);
    CHECK(Served::status_of(server.answer_to(request)) == 200);
}
