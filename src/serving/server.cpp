#include "serving/server.hpp"

#include <algorithm>
#include <exception>
#include <list>
#include <mutex>
#include <thread>
#include <utility>
#include <vector>

#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "serving/connection.hpp"
#include "serving/guard.hpp"

namespace earbudget::serving {

namespace {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;

/// Only who computes an answer has a thread. Own choice: twenty browsers, and some to spare.
constexpr std::size_t workers = 32;
constexpr int most_waiting = 256;  // connections that the system keeps until they are taken
/// At once; a process may have some thousand files (getrlimit(2)), of which answers need some too.
constexpr std::size_t most_connections = 400;
/// Where none can be taken, as when the process has too many files, it is tried again after this.
constexpr std::chrono::milliseconds until_next_try{50};

}  // namespace

class Server::Inside {
  public:
    Inside(const Settings& settings, Answering answering)
        : longest_(settings.longest), answering_(std::move(answering)) {
        const tcp::endpoint here(asio::ip::address_v4::loopback(),
                                 static_cast<unsigned short>(settings.port));
        error_code failure;
        acceptor_.open(here.protocol());
        acceptor_.set_option(tcp::acceptor::reuse_address(true));
        acceptor_.bind(here, failure);
        if (!failure) acceptor_.listen(most_waiting, failure);
        if (failure) {
            throw InputError({"--port"},
                             fmt::format("{} cannot be listened on ({}); accepted: one that is "
                                         "free, or 0",
                                         settings.port, failure.message()));
        }
        guard_ = std::make_unique<Guard>(port(), settings.proxy_secret);
    }

    [[nodiscard]] int port() const { return acceptor_.local_endpoint().port(); }
    [[nodiscard]] const Guard& guard() const { return *guard_; }
    [[nodiscard]] const Answering& answering() const { return answering_; }

    void serve() {
        accept();
        std::vector<std::thread> others;
        for (std::size_t n = 1; n < workers; ++n)
            others.emplace_back([this] { work(); });
        work();
        for (std::thread& other : others)
            other.join();
    }

    void stop() {
        asio::post(strand_, [this] {
            error_code ignored;
            acceptor_.close(ignored);
            again_.cancel();
            for (const auto& connection : connections_)
                if (const auto open = connection.lock()) open->give_way();
        });
    }

  private:
    void work() {
        for (;;) {
            try {
                io_.run();
                return;
            } catch (const std::exception&) {
                // As of memory: this connection is lost, the others go on.
            }
        }
    }

    void accept() {
        acceptor_.async_accept(
            asio::make_strand(io_),
            asio::bind_executor(strand_, [this](error_code failure, tcp::socket socket) {
                if (!acceptor_.is_open()) return;
                if (failure) return accept_later();
                take(std::move(socket));
                accept();
            }));
    }

    void accept_later() {
        again_.expires_after(until_next_try);
        again_.async_wait(asio::bind_executor(strand_, [this](error_code) {
            if (acceptor_.is_open()) accept();
        }));
    }

    void take(tcp::socket socket) {
        connections_.remove_if([](const auto& one) { return one.expired(); });
        if (connections_.size() >= most_connections && !make_room()) return;
        const auto one = std::make_shared<Connection>(std::move(socket), *guard_, answering_);
        connections_.push_back(one);
        one->begin(longest_);
    }

    /// Whoever is there longest without having been let in gives way to who comes.
    bool make_room() {
        const auto found = std::ranges::find_if(connections_, [](const auto& connection) {
            const auto open = connection.lock();
            return !open || !open->is_admitted();
        });
        if (found == connections_.end()) return false;
        if (const auto open = found->lock()) open->give_way();
        connections_.erase(found);
        return true;
    }

    std::chrono::milliseconds longest_;
    Answering answering_;
    std::unique_ptr<Guard> guard_ = nullptr;
    asio::io_context io_{static_cast<int>(workers)};
    asio::strand<asio::io_context::executor_type> strand_ = asio::make_strand(io_);
    tcp::acceptor acceptor_{strand_};
    asio::steady_timer again_{strand_};
    std::list<std::weak_ptr<Connection>> connections_ = {};
};

Server::Server(const Settings& settings, Answering answering)
    : inside_(std::make_unique<Inside>(settings, std::move(answering))) {}

Server::~Server() = default;

int Server::port() const { return inside_->port(); }
std::string Server::address() const { return inside_->guard().address(); }
const Guard& Server::guard() const { return inside_->guard(); }
void Server::serve() { inside_->serve(); }
void Server::stop() { inside_->stop(); }

std::string Server::answer_to(std::string_view request) const {
    Conversation conversation(inside_->guard(), inside_->answering());
    static_cast<void>(conversation.take(request));
    return conversation.answer();
}

}  // namespace earbudget::serving
