#include "serving/connection.hpp"

#include <string_view>
#include <utility>

#include <boost/asio/write.hpp>

namespace earbudget::serving {

namespace {

using boost::system::error_code;

/// A browser that still sends while it is refused would lose the refusal if the connection ended
/// at once; so long what it sends is taken and forgotten.
constexpr std::chrono::milliseconds longest_farewell{1'000};

constexpr std::string_view go_on = "HTTP/1.1 100 Continue\r\n\r\n";

}  // namespace

Connection::Connection(boost::asio::ip::tcp::socket socket, const Guard& guard,
                       const Answering& answering)
    : stream_(std::move(socket)), conversation_(guard, answering) {}

void Connection::begin(std::chrono::milliseconds longest) {
    error_code ignored;
    stream_.socket().set_option(boost::asio::ip::tcp::no_delay(true), ignored);
    stream_.expires_after(longest);  // never again before the answer is sent: it is for all
    read();
}

void Connection::give_way() {
    boost::asio::post(stream_.get_executor(), [self = shared_from_this()] {
        if (!self->is_answering_) self->stream_.close();
    });
}

void Connection::read() {
    stream_.async_read_some(
        boost::asio::buffer(bytes_),
        [self = shared_from_this()](error_code failure, std::size_t count) {
            if (failure) return;  // what is not whole is not answered
            const bool whole = self->conversation_.take({self->bytes_.data(), count});
            self->is_admitted_ = self->conversation_.is_admitted();
            if (whole) return self->answer();
            // So few bytes always fit.
            if (self->conversation_.waits_to_go_on())
                self->stream_.socket().send(boost::asio::buffer(go_on), 0, failure);
            self->read();
        });
}

void Connection::answer() {
    is_answering_ = true;
    answer_ = conversation_.answer();
    boost::asio::async_write(stream_, boost::asio::buffer(answer_),
                             [self = shared_from_this()](error_code failure, std::size_t) {
                                 if (failure) return;
                                 self->stream_.socket().shutdown(
                                     boost::asio::ip::tcp::socket::shutdown_send, failure);
                                 self->stream_.expires_after(longest_farewell);
                                 self->linger();
                             });
}

void Connection::linger() {
    stream_.async_read_some(boost::asio::buffer(bytes_),
                            [self = shared_from_this()](error_code failure, std::size_t) {
                                if (!failure) self->linger();
                            });
}

}  // namespace earbudget::serving
