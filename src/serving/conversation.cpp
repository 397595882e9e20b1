#include "serving/conversation.hpp"

#include <exception>
#include <optional>
#include <stdexcept>
#include <utility>

#include <boost/asio/buffer.hpp>

#include "serving/body.hpp"
#include "serving/guard.hpp"
#include "serving/request_parser.hpp"
#include "serving/sent.hpp"
#include "serving/target.hpp"

namespace earbudget::serving {

namespace {

namespace http = boost::beast::http;
using boost::system::error_code;

constexpr std::size_t longest_path = 1'000;  // own choice

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
    RequestParser parser_ = {};
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
