// Browsers that are slow, or mean to be: real connections, with a short time for each.
#include <atomic>
#include <chrono>
#include <memory>
#include <thread>

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "serving/asking.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Clock = std::chrono::steady_clock;
using std::chrono::milliseconds;

constexpr milliseconds longest{400};
/// What a busy machine may add.
constexpr milliseconds patience{20'000};

/// A server that answers in threads of its own, for as long as this lives.
class Running {
  public:
    explicit Running(std::string body = "well", milliseconds each = longest)
        : server_({.longest = each},
                  [body = std::move(body)](const serving::Asked& asked) {
                      std::string said = asked.is_post() ? asked.form.get("said") : std::string();
                      return serving::Reply::page(body + said);
                  }),
          thread_([this] { server_.serve(); }) {}
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;
    ~Running() {
        server_.stop();
        thread_.join();
    }
    [[nodiscard]] const serving::Server& server() const { return server_; }
    [[nodiscard]] std::string host() const { return fmt::format("127.0.0.1:{}", server_.port()); }
    [[nodiscard]] std::string cookie() const {
        const std::string address = server_.address();
        const std::string answer = server_.answer_to(
            Served::request("GET", address.substr(address.find("/enter")), {{"Host", host()}}));
        const std::size_t at = answer.find("earbudget-desk-");
        return answer.substr(at, answer.find(';', at) - at);
    }
    [[nodiscard]] std::string good(const std::string& method = "GET",
                                   const std::string& body = "") const {
        Served::Headers headers = {
            {"Host", host()}, {"Cookie", cookie()}, {"Origin", "http://" + host()}};
        if (method == "POST") headers.emplace_back("Content-Length", std::to_string(body.size()));
        return Served::request(method, "/", headers, body);
    }

  private:
    serving::Server server_;
    std::thread thread_;
};

class Caller {
  public:
    explicit Caller(int port, int receives = 0) : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
        if (receives > 0) ::setsockopt(socket_, SOL_SOCKET, SO_RCVBUF, &receives, sizeof receives);
        sockaddr_in to{};
        to.sin_family = AF_INET;
        to.sin_port = htons(static_cast<std::uint16_t>(port));
        to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): as the system has it.
        REQUIRE(::connect(socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0);
    }
    Caller(const Caller&) = delete;
    Caller& operator=(const Caller&) = delete;
    ~Caller() { ::close(socket_); }

    bool send(std::string_view text) const {
        return ::send(socket_, text.data(), text.size(), MSG_NOSIGNAL) ==
               static_cast<ssize_t>(text.size());
    }

    /// All until the other side ends the connection.
    [[nodiscard]] std::string all() const {
        std::string text;
        for (;;) {
            pollfd watched{socket_, POLLIN, 0};
            REQUIRE(::poll(&watched, 1, static_cast<int>(patience.count())) > 0);
            char bytes[16384];
            const ssize_t got = ::recv(socket_, bytes, sizeof bytes, 0);
            if (got <= 0) return text;
            text.append(bytes, static_cast<std::size_t>(got));
        }
    }

  private:
    int socket_;
};

}  // namespace

TEST_CASE("who sends nothing, half a head or half a body is given up when the time is over") {
    const Running running;
    const std::string post = running.good("POST", "token=" + std::string(1'000, 'a'));
    for (const std::string& begin :
         {std::string(), std::string("GET / HT"), running.good().substr(0, 60),
          post.substr(0, post.size() - 900)}) {
        const auto began = Clock::now();
        const Caller caller(running.server().port());
        if (!begin.empty()) CHECK(caller.send(begin));
        CHECK(caller.all().empty());
        const auto took = Clock::now() - began;
        CHECK(took >= longest);
        CHECK(took < patience);
    }
}

TEST_CASE("trickling does not make the time longer") {
    const Running running;
    for (const std::string& endless :
         {running.good().substr(0, 60) + "\r\nX: ",
          running.good("POST", std::string(5'000, 'a')).substr(0, 300)}) {
        const auto began = Clock::now();
        const Caller caller(running.server().port());
        CHECK(caller.send(endless));
        // Until the other side has ended: a byte that is sent after that is answered by a reset.
        while (caller.send("a") && Clock::now() - began < patience)
            std::this_thread::sleep_for(milliseconds(10));
        const auto took = Clock::now() - began;
        CHECK(took >= longest);
        CHECK(took < patience / 2);
    }
}

TEST_CASE("who does not take the answer is given up too") {
    const std::string large(std::size_t{32} << 20U, 'a');
    const Running running(large);
    const Caller caller(running.server().port(), 4096);
    CHECK(caller.send(running.good()));
    std::this_thread::sleep_for(2 * longest);
    const std::string got = caller.all();  // what was on its way already
    CHECK(got.size() < large.size());
    CHECK(Served::status_of(got) == 200);
}

TEST_CASE("a hundred and more slow connections keep no browser waiting") {
    const Running running("well", milliseconds(10'000));
    const std::string post = running.good("POST", std::string(5'000, 'a'));
    std::vector<std::unique_ptr<Caller>> slow;
    for (int n = 0; n < 300; ++n) {
        slow.push_back(std::make_unique<Caller>(running.server().port()));
        const std::string begins[] = {"", "GET / HTTP/1.1\r\nHost: ", running.good().substr(0, 50),
                                      post.substr(0, 400)};
        const std::string& begin = begins[n % 4];
        if (!begin.empty()) CHECK(slow.back()->send(begin));
    }
    auto most = Clock::duration::zero();
    for (int n = 0; n < 20; ++n) {
        const auto began = Clock::now();
        const Caller caller(running.server().port());
        CHECK(caller.send(running.good()));
        CHECK(Served::status_of(caller.all()) == 200);
        most = std::max(most, Clock::now() - began);
    }
    MESSAGE("longest wait beside 300 slow connections: ",
            std::chrono::duration<double, std::milli>(most).count(), " ms");
    CHECK(most < milliseconds(1'000));
}

TEST_CASE("who was not let in gives way where there is no place left") {
    const Running running("well", milliseconds(10'000));
    std::vector<std::unique_ptr<Caller>> slow;
    for (int n = 0; n < 450; ++n)
        slow.push_back(std::make_unique<Caller>(running.server().port()));
    const Caller caller(running.server().port());
    CHECK(caller.send(running.good()));
    CHECK(Served::status_of(caller.all()) == 200);
    CHECK(slow.front()->all().empty());  // it was given up at once, not after ten seconds
}

TEST_CASE("a refusal arrives although the body is still being sent") {
    const Running running;
    const Caller caller(running.server().port());
    Served::Headers headers = {{"Host", running.host()}, {"Content-Length", "1000000"}};
    CHECK(caller.send(Served::request("POST", "/", headers, std::string(100'000, 'a'))));
    CHECK(Served::status_of(caller.all()) == 403);
}

TEST_CASE("who asks whether to go on is told so, once let in") {
    const Running running;
    const std::string body = "token=" + running.server().guard().token_of("") + "&said=%20indeed";
    const std::string whole = running.good("POST", body);
    std::string head = whole.substr(0, whole.size() - body.size());
    head.insert(head.size() - 2, "Expect: 100-continue\r\n");
    const Caller caller(running.server().port());
    CHECK(caller.send(head));
    CHECK(caller.send(body));
    const std::string answer = caller.all();
    CHECK(answer.find("200 OK") != std::string::npos);
    CHECK(answer.find("well indeed") != std::string::npos);
}

TEST_CASE("twenty browsers at once are all answered, and the server ends when it is told to") {
    const Running running;
    std::atomic<int> well = 0;
    std::vector<std::thread> browsers;
    for (int n = 0; n < 20; ++n)
        browsers.emplace_back([&] {
            for (int request = 0; request < 20; ++request) {
                const Caller caller(running.server().port());
                if (caller.send(running.good()) && Served::status_of(caller.all()) == 200) ++well;
            }
        });
    for (std::thread& browser : browsers)
        browser.join();
    CHECK(well == 400);
}

TEST_CASE(
    "nothing but the loopback interface is listened on, and a port that is taken is refused") {
    const Served served;
    CHECK_THROWS_WITH_AS(Served({.port = served.server.port()}),
                         doctest::Contains("cannot be listened on"), InputError);
    const int elsewhere = ::socket(AF_INET, SOCK_STREAM, 0);
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(static_cast<std::uint16_t>(served.server.port()));
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK + 1);  // 127.0.0.2: all of 127/8 is this machine
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): as the system has it.
    CHECK(::connect(elsewhere, reinterpret_cast<const sockaddr*>(&to), sizeof to) != 0);
    ::close(elsewhere);
}
