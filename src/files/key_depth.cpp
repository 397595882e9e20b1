#include "files/key_depth.hpp"

#include <string_view>

#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "files/limits.hpp"

namespace earbudget::files {

namespace {

/// The deepest key of our files has three parts.
constexpr unsigned most_parts = 8;

/// Walks over TOML 1.0 just so far that text in quotes and comments is told from keys.
class Walk {
  public:
    explicit Walk(std::string_view toml) : rest_(toml) {}

    [[nodiscard]] bool at_end() const { return rest_.empty(); }
    [[nodiscard]] char next() const { return rest_.front(); }
    [[nodiscard]] bool starts_with(std::string_view text) const { return rest_.starts_with(text); }

    void step(std::size_t bytes = 1) {
        for (; bytes > 0 && !rest_.empty(); --bytes) {
            const auto byte = static_cast<unsigned char>(rest_.front());
            rest_.remove_prefix(1);
            if (byte == '\n') {
                ++line_;
                column_ = 1;
            } else if ((byte & 0xC0U) != 0x80U) {  // not the continuation of a character
                ++column_;
            }
        }
    }

    void skip_comment() {
        while (!at_end() && next() != '\n')
            step();
    }

    /// A text in quotes, of one line or of several.
    void skip_text() {
        const char quote = next();
        const std::string three(3, quote);
        const bool of_lines = starts_with(three);
        const std::string_view end =
            of_lines ? std::string_view(three) : std::string_view(&quote, 1);
        step(end.size());
        while (!at_end() && !starts_with(end)) {
            // Where the line ends too early the parser says so.
            if (!of_lines && next() == '\n') return;
            step(quote == '"' && next() == '\\' ? 2 : 1);
        }
        step(end.size());
        // Of five quotes at the end of several lines two belong to the text.
        for (int more = 0; of_lines && more < 2 && !at_end() && next() == quote; ++more)
            step();
    }

    [[nodiscard]] SourcePosition position(const std::string& path) const {
        return {path, line_, column_};
    }

  private:
    std::string_view rest_;
    unsigned line_ = 1;
    unsigned column_ = 1;
};

}  // namespace

void refuse_deep_keys(const std::string& toml, const std::string& path) {
    constexpr std::string_view ends_a_key = "\n=,[]{}";
    constexpr std::string_view begins_more = "=,[{.";
    Walk walk(toml);
    unsigned parts = 1;
    std::size_t values = 0;
    while (!walk.at_end()) {
        const char c = walk.next();
        if (c == '"' || c == '\'') {
            walk.skip_text();
            continue;
        }
        if (c == '#') {
            walk.skip_comment();
            continue;
        }
        if (begins_more.find(c) != begins_more.npos && ++values > most_values_of_a_file) {
            throw InputError(walk.position(path),
                             fmt::format("more than {} keys, values and parts of them; accepted: "
                                         "a file of at most as many",
                                         most_values_of_a_file));
        }
        if (ends_a_key.find(c) != ends_a_key.npos) parts = 1;
        if (c == '.' && ++parts > most_parts) {
            throw InputError(walk.position(path),
                             fmt::format("a key of more than {} parts; accepted: the keys of this "
                                         "kind of file, of three at most",
                                         most_parts));
        }
        walk.step();
    }
}

}  // namespace earbudget::files
