#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "serving/exchange.hpp"

namespace earbudget::serving {

/// Of a request what decides whether it may be answered, before its body is read. Empty texts stand
/// for headers that there are not.
struct Knock {
    std::string method = {}, path = {};
    /// Host, Origin, Sec-Fetch-Site, Sec-Fetch-Mode
    std::string host = {}, origin = {}, fetch_site = {}, fetch_mode = {};
    std::string cookies = {};
    std::string proxy_secret = {}, proxy_person = {};  ///< of the web server in front
};

/// Who asks; or how the request is answered at once.
struct Admitted {
    std::optional<Reply> refused = std::nullopt;
    std::string by = {};
    bool by_is_settled = false;
};

/// Who may: a browser of this machine that was handed the secret of this start, by an address that
/// leads to this port; or what the web server in front lets through, which shares a secret with
/// this program alone. A page of elsewhere can neither ask nor have anything told in its name: the
/// Host must be this one (else any name could be made to lead here), the Origin too, forms carry a
/// token that other pages cannot read, and the cookie goes with no request from elsewhere.
class Guard {
  public:
    /// `port` is the one that is listened on. With a proxy's secret the cookie is not asked for.
    Guard(int port, std::optional<std::string> proxy_secret);

    /// What is typed into a browser once.
    [[nodiscard]] std::string address() const;

    [[nodiscard]] Admitted admit(const Knock& knock) const;

    /// What a form of this person must carry.
    [[nodiscard]] std::string token_of(const std::string& by) const;
    /// Whether it does; in a time that tells nothing.
    [[nodiscard]] bool is_token(const std::string& by, std::string_view token) const;

    /// The cookie that keeps who tells things in this browser.
    [[nodiscard]] std::string cookie_of_teller(const std::string& by) const;

  private:
    [[nodiscard]] bool is_behind_proxy() const { return proxy_secret_.has_value(); }
    [[nodiscard]] bool knows_host(const std::string& host) const;
    [[nodiscard]] bool is_own_origin(const Knock& knock) const;
    [[nodiscard]] Admitted admit_by_proxy(const Knock& knock) const;
    [[nodiscard]] Reply enter(std::string_view secret) const;
    [[nodiscard]] std::string sealed(std::string_view what) const;
    [[nodiscard]] std::string cookie_name(std::string_view of) const;

    int port_;
    std::optional<std::string> proxy_secret_;
    std::string secret_;
};

/// Reads the secret that a web server in front shares with this program: one line of 32 characters
/// or more in a file that nobody else can read. Throws InputError.
[[nodiscard]] std::string read_proxy_secret(const std::string& path);

/// Whether two texts are the same, in a time that does not tell where they differ.
[[nodiscard]] bool same_secret(std::string_view one, std::string_view other);

/// A page that says why nothing else is shown; `words` are a text.
[[nodiscard]] Reply plain_refusal(int status, std::string_view title, std::string_view words);

}  // namespace earbudget::serving
