#pragma once

#include <string>
#include <string_view>

#include <boost/beast/http/basic_parser.hpp>

#include "serving/body.hpp"
#include "serving/conversation.hpp"
#include "serving/guard.hpp"

namespace earbudget::serving {

/// What the head of a request says that this program asks of it.
struct Head {
    Knock knock = {};
    std::string target = {}, content_type = {};
    bool waits_to_go_on = false, by_script = false;
    bool is_ambiguous = false;  ///< what may stand once stands twice, or is packed
};

/// Takes a head apart and gives the body on, by the library's rules of what is HTTP.
class RequestParser : public boost::beast::http::basic_parser<true> {
  public:
    RequestParser() {
        header_limit(most_head_bytes);
        // What frames the parts of a form, and chunks, come on top of what is counted.
        constexpr std::uint64_t frames = std::uint64_t{16} << 20U;
        body_limit(most_upload_bytes + most_form_bytes + frames);
    }

    Head head = {};
    Body* body = nullptr;

  private:
    using Piece = boost::beast::string_view;
    using error_code = boost::system::error_code;

    static std::string_view view(Piece piece) { return {piece.data(), piece.size()}; }

    /// Puts a value where it is the first of its name.
    void once(std::string& into, std::string_view value) {
        if (!into.empty()) head.is_ambiguous = true;
        into = value;
    }

    void on_request_impl(boost::beast::http::verb /*verb*/, Piece method, Piece target,
                         int /*version*/, error_code& /*failure*/) override {
        head.knock.method = view(method);
        head.target = view(target);
    }

    void on_field_impl(boost::beast::http::field field, Piece name, Piece text,
                       error_code&) override {
        const std::string_view value = view(text);
        Knock& knock = head.knock;
        switch (field) {
            case boost::beast::http::field::host:
                once(knock.host, value);
                break;
            case boost::beast::http::field::origin:
                once(knock.origin, value);
                break;
            case boost::beast::http::field::content_type:
                once(head.content_type, value);
                break;
            case boost::beast::http::field::content_encoding:
                head.is_ambiguous = true;
                break;
            case boost::beast::http::field::expect:
                head.waits_to_go_on = value == "100-continue";
                break;
            case boost::beast::http::field::cookie:
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
        if (iequals(name, "Sec-Fetch-Site")) once(knock.fetch_site, value);
        if (iequals(name, "Sec-Fetch-Mode")) once(knock.fetch_mode, value);
        if (iequals(name, "Earbudget-Secret")) once(knock.proxy_secret, value);
        if (iequals(name, "Earbudget-Person")) once(knock.proxy_person, value);
        if (iequals(name, "Earbudget-Script")) head.by_script = true;
    }

    std::size_t take(Piece piece, error_code& failure) {
        if (body && !body->take(view(piece)))
            failure = boost::beast::http::make_error_code(boost::beast::http::error::body_limit);
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

}  // namespace earbudget::serving
