#include "serving/server.hpp"

#include <exception>
#include <system_error>
#include <utility>

#include <fmt/format.h>
#include <httplib.h>
#include <sys/socket.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "serving/body.hpp"
#include "serving/deadline_stream.hpp"
#include "serving/guard.hpp"
#include "serving/memory_stream.hpp"
#include "serving/policy.hpp"

namespace earbudget::serving {

namespace {

/// A connection waits for a browser at most longest_request, so that some slow ones leave others
/// their turn. Own choice; threads that wait cost nothing.
constexpr std::size_t workers = 64;
constexpr int most_waiting = 128;            // connections that the system keeps until then
constexpr std::size_t longest_path = 1'000;  // own choice; keeps the library's patterns short

Knock knock_of(const httplib::Request& request) {
    return {.method = request.method,
            .path = request.path,
            .host = request.get_header_value("Host"),
            .origin = request.get_header_value("Origin"),
            .fetch_site = request.get_header_value("Sec-Fetch-Site"),
            .cookies = request.get_header_value("Cookie"),
            .proxy_secret = request.get_header_value("Earbudget-Secret"),
            .proxy_person = request.get_header_value("Earbudget-Person")};
}

void put(const Reply& reply, httplib::Response& response) {
    response.status = reply.status;
    for (const auto& [name, value] : policy_headers(reply))
        response.set_header(name, value);
    for (const auto& [name, value] : reply.headers)
        response.set_header(name, value);
    if (reply.status != 304) response.set_content(reply.body, reply.type);
}

}  // namespace

class Server::Inside : public httplib::Server {
  public:
    explicit Inside(Answering answering) : answering_(std::move(answering)) {
        new_task_queue = [] { return new httplib::ThreadPool(workers); };
        set_tcp_nodelay(true);
        set_payload_max_length(most_upload_bytes);
        set_pre_routing_handler(
            [this](const httplib::Request& request, httplib::Response& response) {
                return begin(request, response);
            });
        Post(".*", [this](const httplib::Request& request, httplib::Response& response,
                          const httplib::ContentReader& reader) {
            answer_post(request, response, reader);
        });
        set_exception_handler(
            [](const httplib::Request&, httplib::Response& response, const std::exception_ptr&) {
                put(plain_refusal(500, "That went wrong", "Nothing was done."), response);
            });
        set_error_handler([](const httplib::Request&, httplib::Response& response) {
            if (response.body.empty())
                put(plain_refusal(response.status, "Not understood",
                                  "Accepted: what the pages of the desk ask."),
                    response);
        });
    }

    void bind(int wanted) {
        // Another program's port must not be shared by chance, as the library's default would.
        set_socket_options([](socket_t socket) {
            const int yes = 1;
            ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
        });
        port = wanted == 0 ? bind_to_any_port("127.0.0.1")
                           : (bind_to_port("127.0.0.1", wanted) ? wanted : -1);
        if (port <= 0) {
            throw InputError({"--port"}, fmt::format("{} cannot be listened on: another program "
                                                     "has it; accepted: one that is free, or 0",
                                                     wanted));
        }
        ::listen(svr_sock_, most_waiting);  // the library's own five are few for twenty browsers
    }

    bool process(httplib::Stream& stream, const std::function<void()>& after_head) {
        bool closed = false;
        return process_request(stream, /*close_connection=*/true, closed,
                               [&](httplib::Request& request) {
                                   after_head();
                                   // Pressing costs more than the loopback interface saves.
                                   request.headers.erase("Accept-Encoding");
                                   request.headers.erase("Range");
                                   request.ranges.clear();
                               });
    }

    int port = 0;
    std::unique_ptr<Guard> guard = nullptr;

  private:
    /// GET is answered here; a POST goes on where it may.
    HandlerResponse begin(const httplib::Request& request, httplib::Response& response) {
        if (request.path.size() > longest_path) {
            put(plain_refusal(414, "Too long", "Accepted: addresses of the desk."), response);
            return HandlerResponse::Handled;
        }
        Admitted admitted = guard->admit(knock_of(request));
        if (admitted.refused) {
            put(*admitted.refused, response);
            return HandlerResponse::Handled;
        }
        if (request.method == "POST") return HandlerResponse::Unhandled;
        put(answer(asked_of(request, admitted)), response);
        return HandlerResponse::Handled;
    }

    void answer_post(const httplib::Request& request, httplib::Response& response,
                     const httplib::ContentReader& reader) {
        const Admitted admitted = guard->admit(knock_of(request));
        Asked asked = asked_of(request, admitted);
        const Body body = read_body(request, reader, asked);
        if (body.too_large) {
            put(plain_refusal(413, "Too large",
                              "Nothing was done. Accepted: forms of 2 MB, and "
                              "recordings of 1 GB."),
                response);
        } else if (!guard->is_token(admitted.by, asked.form.get("token"))) {
            // The desk was started anew, or who tells it was changed, since the page was made.
            put(plain_refusal(403, "This page is of an earlier start",
                              "Nothing was done. Load the page anew and do it again."),
                response);
        } else {
            const Reply reply = answer(asked);
            put(reply, response);
            // Behind a web server it is that one which says who asks.
            if (reply.teller && !asked.by_is_settled)
                response.set_header("Set-Cookie", guard->cookie_of_teller(*reply.teller));
        }
    }

    Asked asked_of(const httplib::Request& request, const Admitted& admitted) const {
        const std::size_t question = request.target.find('?');
        return {.method = request.method,
                .path = request.path,
                .query = question == std::string::npos
                             ? Form()
                             : Form::of_text(std::string_view(request.target).substr(question + 1)),
                .by = admitted.by,
                .by_is_settled = admitted.by_is_settled,
                .token = guard->token_of(admitted.by),
                .by_script = request.has_header("Earbudget-Script")};
    }

    Reply answer(const Asked& asked) const {
        try {
            return answering_(asked);
        } catch (const std::exception& error) {
            return plain_refusal(500, "That went wrong", error.what());
        }
    }

    bool process_and_close_socket(socket_t socket) override {
        DeadlineStream stream(socket, DeadlineStream::Clock::now() + longest_request);
        const bool well = process(stream, [&] { stream.end_of_head(); });
        ::shutdown(socket, SHUT_RDWR);
        ::close(socket);
        return well;
    }

    Answering answering_;
};

Server::Server(const Settings& settings, Answering answering)
    : inside_(std::make_unique<Inside>(std::move(answering))) {
    inside_->bind(settings.port);
    inside_->guard = std::make_unique<Guard>(inside_->port, settings.proxy_secret);
}

Server::~Server() = default;

int Server::port() const { return inside_->port; }
std::string Server::address() const { return inside_->guard->address(); }
const Guard& Server::guard() const { return *inside_->guard; }
void Server::serve() { inside_->listen_after_bind(); }
void Server::stop() { inside_->stop(); }

std::string Server::answer_to(std::string_view request) {
    MemoryStream stream(request);
    static_cast<void>(inside_->process(stream, [] {}));
    return stream.written();
}

}  // namespace earbudget::serving
