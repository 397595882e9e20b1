#include "serving/conversation.hpp"

#include <exception>
#include <optional>
#include <stdexcept>
#include <utility>

#include <boost/asio/buffer.hpp>
#include <boost/beast/http/basic_parser.hpp>
#include <boost/beast/http/status.hpp>
#include <fmt/format.h>

#include "serving/body.hpp"
#include "serving/guard.hpp"
#include "serving/policy.hpp"
#include "serving/target.hpp"

namespace earbudget::serving {

namespace {

namespace http = boost::beast::http;
using boost::system::error_code;
using Piece = boost::beast::string_view;

constexpr std::size_t longest_path = 1'000;  // own choice

std::string_view view(Piece piece) { return {piece.data(), piece.size()}; }

struct Head {
    Knock knock = {};
    std::string target = {}, content_type = {};
    bool waits_to_go_on = false, by_script = false;
    bool is_ambiguous = false;  ///< what may stand once stands twice, or is packed
};

/// Puts a value where it is the first of its name.
void once(std::string& into, std::string_view value, Head& head) {
    if (!into.empty()) head.is_ambiguous = true;
    into = value;
}

/// Takes a head apart and gives the body on, by the library's rules of what is HTTP.
class Parser : public http::basic_parser<true> {
  public:
    Parser() {
        header_limit(most_head_bytes);
        // What frames the parts of a form, and chunks, come on top of what is counted.
        constexpr std::uint64_t frames = std::uint64_t{16} << 20U;
        body_limit(most_upload_bytes + most_form_bytes + frames);
    }

    Head head = {};
    Body* body = nullptr;

  private:
    void on_request_impl(http::verb /*verb*/, Piece method, Piece target, int /*version*/,
                         error_code& /*failure*/) override {
        head.knock.method = view(method);
        head.target = view(target);
    }

    void on_field_impl(http::field field, Piece name, Piece text, error_code&) override {
        const std::string_view value = view(text);
        Knock& knock = head.knock;
        switch (field) {
            case http::field::host:
                once(knock.host, value, head);
                break;
            case http::field::origin:
                once(knock.origin, value, head);
                break;
            case http::field::content_type:
                once(head.content_type, value, head);
                break;
            case http::field::content_encoding:
                head.is_ambiguous = true;
                break;
            case http::field::expect:
                head.waits_to_go_on = value == "100-continue";
                break;
            case http::field::cookie:
                knock.cookies += knock.cookies.empty() ? "" : "; ";
                knock.cookies += value;
                break;
            default:
                own_field(name, value);
        }
    }

    /// Those that the library has no number for.
    void own_field(Piece name, std::string_view value) {
        using boost::beast::iequals;
        Knock& knock = head.knock;
        if (iequals(name, "Sec-Fetch-Site")) once(knock.fetch_site, value, head);
        if (iequals(name, "Sec-Fetch-Mode")) once(knock.fetch_mode, value, head);
        if (iequals(name, "Earbudget-Secret")) once(knock.proxy_secret, value, head);
        if (iequals(name, "Earbudget-Person")) once(knock.proxy_person, value, head);
        if (iequals(name, "Earbudget-Script")) head.by_script = true;
    }

    std::size_t take(Piece piece, error_code& failure) {
        if (body && !body->take(view(piece)))
            failure = http::make_error_code(http::error::body_limit);
        return piece.size();
    }
    std::size_t on_body_impl(Piece piece, error_code& failure) override {
        return take(piece, failure);
    }
    std::size_t on_chunk_body_impl(std::uint64_t /*left*/, Piece piece,
                                   error_code& failure) override {
        return take(piece, failure);
    }
    void on_response_impl(int, Piece, int, error_code&) override {}
    void on_header_impl(error_code&) override {}
    void on_body_init_impl(const boost::optional<std::uint64_t>&, error_code&) override {}
    void on_chunk_header_impl(std::uint64_t, Piece, error_code&) override {}
    void on_finish_impl(error_code&) override {}
};

Reply not_understood() {
    return plain_refusal(400, "Not understood", "Accepted: what the pages of the desk ask.");
}

Reply refusal_of(Body::Trouble trouble) {
    switch (trouble) {
        case Body::Trouble::TooLarge:
            return plain_refusal(413, "Too large",
                                 "Nothing was done. Accepted: forms of 2 MB, and recordings of "
                                 "1 GB.");
        case Body::Trouble::NoRoom:
            return plain_refusal(507, "No room for what was sent",
                                 "Nothing was done. The disk for temporary files is full, or "
                                 "cannot be written.");
        default:
            return not_understood();
    }
}

/// A header's value as it may travel: no page makes one of several lines.
std::string one_line(std::string_view value) {
    std::string line;
    for (const char letter : value)
        if (letter < 0 || letter >= ' ') line += letter;
    return line;
}

std::string as_sent(const Reply& reply, bool without_body) {
    const auto reason =
        http::obsolete_reason(http::int_to_status(static_cast<unsigned>(reply.status)));
    std::string text = fmt::format(
        "HTTP/1.1 {} {}\r\nConnection: close\r\nContent-Length: {}\r\n"
        "Content-Type: {}\r\n",
        reply.status, view(reason), reply.body.size(), reply.type);
    for (const auto& headers : {policy_headers(reply), reply.headers})
        for (const auto& [name, value] : headers)
            text += fmt::format("{}: {}\r\n", name, one_line(value));
    text += "\r\n";
    return without_body ? text : text + reply.body;
}

}  // namespace

class Conversation::Inside {
  public:
    Inside(const Guard& guard, const Answering& answering) : guard_(guard), answering_(answering) {}

    bool take(std::string_view bytes) {
        try {
            parse(bytes);
        } catch (const std::exception& error) {
            refuse(plain_refusal(500, "That went wrong", error.what()));
        }
        return is_decided_;
    }

    bool is_admitted() const { return is_admitted_; }

    bool waits_to_go_on() {
        return is_admitted_ && !is_decided_ && std::exchange(parser_.head.waits_to_go_on, false);
    }

    std::string answer() {
        const Reply reply = refusal_ ? *refusal_ : decided();
        return as_sent(reply, parser_.head.knock.method == "HEAD");
    }

  private:
    void parse(std::string_view bytes) {
        waiting_ += bytes;
        while (!is_decided_ && !waiting_.empty()) {
            error_code failure;
            const std::size_t used = parser_.put(boost::asio::buffer(waiting_), failure);
            waiting_.erase(0, used);
            if (failure == http::error::need_more) break;
            if (failure) {
                refuse(refusal_of(failure));
            } else if (!has_head_ && parser_.is_header_done()) {
                has_head_ = true;
                begin();
            }
            if (!is_decided_ && parser_.is_done()) is_decided_ = true;
        }
    }

    void refuse(Reply reply) {
        refusal_ = std::move(reply);
        is_decided_ = true;
    }

    Reply refusal_of(const error_code& failure) const {
        if (body_ && body_->trouble() != Body::Trouble::None)
            return serving::refusal_of(body_->trouble());
        if (failure == http::error::body_limit) return serving::refusal_of(Body::Trouble::TooLarge);
        if (failure == http::error::header_limit)
            return plain_refusal(431, "Too long", "Accepted: what the pages of the desk ask.");
        return not_understood();
    }

    /// With the head: may it ask, and what?
    void begin() {
        const Head& head = parser_.head;
        const auto path = path_in(head.target);
        if (head.is_ambiguous || !path) return refuse(not_understood());
        if (path->size() > longest_path)
            return refuse(plain_refusal(414, "Too long", "Accepted: addresses of the desk."));
        Knock knock = head.knock;
        knock.path = *path;
        Admitted admitted = guard_.admit(knock);
        if (admitted.refused) return refuse(std::move(*admitted.refused));
        is_admitted_ = true;
        asked_ = {.method = knock.method,
                  .path = *path,
                  .query = Form::of_text(query_in(head.target)),
                  .by = admitted.by,
                  .by_is_settled = admitted.by_is_settled,
                  .token = guard_.token_of(admitted.by),
                  .by_script = head.by_script};
        if (!asked_.is_post()) {
            is_decided_ = true;  // whatever else it brings is not read
            return;
        }
        body_.emplace(head.content_type, asked_);
        if (body_->trouble() != Body::Trouble::None)
            return refuse(serving::refusal_of(body_->trouble()));
        parser_.body = &*body_;
    }

    Reply decided() {
        if (!is_decided_) return not_understood();
        if (asked_.is_post()) {
            if (!body_->finish()) return serving::refusal_of(body_->trouble());
            // The desk was started anew, or who tells it was changed, since the page was made.
            if (!guard_.is_token(asked_.by, asked_.form.get("token")))
                return plain_refusal(403, "This page is of an earlier start",
                                     "Nothing was done. Load the page anew and do it again.");
        }
        try {
            Reply reply = answering_(asked_);
            // Behind a web server it is that one which says who asks.
            if (reply.teller && !asked_.by_is_settled)
                reply.headers.emplace_back("Set-Cookie", guard_.cookie_of_teller(*reply.teller));
            return reply;
        } catch (const std::exception& error) {
            return plain_refusal(500, "That went wrong", error.what());
        }
    }

    const Guard& guard_;
    const Answering& answering_;
    Parser parser_ = {};
    std::string waiting_ = {};
    bool has_head_ = false, is_decided_ = false, is_admitted_ = false;
    std::optional<Reply> refusal_ = std::nullopt;
    Asked asked_ = {};
    std::optional<Body> body_ = std::nullopt;
};

Conversation::Conversation(const Guard& guard, const Answering& answering)
    : inside_(std::make_unique<Inside>(guard, answering)) {}

Conversation::~Conversation() = default;

bool Conversation::take(std::string_view bytes) { return inside_->take(bytes); }
bool Conversation::is_admitted() const { return inside_->is_admitted(); }
bool Conversation::waits_to_go_on() { return inside_->waits_to_go_on(); }
std::string Conversation::answer() { return inside_->answer(); }

}  // namespace earbudget::serving
