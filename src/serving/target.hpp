#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace earbudget::serving {

/// The path of a request's target, decoded, "/session/12" of "/session/12?x=1"; none for what no
/// link or form of a page makes: what does not begin with a slash, a percent sign without two
/// digits, "." or ".." between slashes, bytes that are no UTF-8, control characters and
/// backslashes, written out or as %XX.
[[nodiscard]] std::optional<std::string> path_in(std::string_view target);

/// What stands behind the question mark, as it is; empty for none.
[[nodiscard]] std::string_view query_in(std::string_view target);

/// The byte that the "%XX" at this place of a text stands for; none where there is no such thing.
[[nodiscard]] std::optional<char> byte_escaped_at(std::string_view text, std::size_t at);

}  // namespace earbudget::serving
