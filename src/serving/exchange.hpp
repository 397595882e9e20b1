#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace earbudget::serving {

/// Names with values, in their order, as an address or a form has them. A name may stand more than
/// once.
class Form {
  public:
    Form() = default;
    explicit Form(std::vector<std::pair<std::string, std::string>> fields)
        : fields_(std::move(fields)) {}

    /// Of "a=1&b=two+words", percent signs decoded (WHATWG URL, application/x-www-form-urlencoded);
    /// no more than `most_fields`, the rest is left out.
    [[nodiscard]] static Form of_text(std::string_view text);

    void add(std::string name, std::string value) {
        fields_.emplace_back(std::move(name), std::move(value));
    }
    [[nodiscard]] bool has(std::string_view name) const;
    /// The first of that name; empty for none.
    [[nodiscard]] const std::string& get(std::string_view name) const;
    /// The first that is not blank, without blanks around it; none where nothing was filled in.
    [[nodiscard]] std::optional<std::string> filled(std::string_view name) const;
    [[nodiscard]] std::vector<std::string> all(std::string_view name) const;
    [[nodiscard]] const std::vector<std::pair<std::string, std::string>>& fields() const {
        return fields_;
    }

    static constexpr std::size_t most_fields = 20'000;  // own choice: a plan of 2,000 rows

  private:
    std::vector<std::pair<std::string, std::string>> fields_;
};

/// A file that came with a form, kept in a folder that goes when the request is answered.
struct Upload {
    std::string field;
    std::string name;  ///< as the browser tells it: text, never a path to be opened
    std::filesystem::path path;
    std::uint64_t bytes = 0;
};

/// What a browser asks, once it is known that it may.
struct Asked {
    std::string method;  ///< "GET" or "POST"
    std::string path;    ///< decoded, "/session/12"
    Form query = {}, form = {};
    std::vector<Upload> uploads = {};
    /// Who asks: the person whom the web server in front names, else whoever was told last in this
    /// browser; empty where nobody was.
    std::string by = {};
    bool by_is_settled = false;  ///< it is the web server in front that says so
    std::string token = {};      ///< that every form of the answer must carry
    /// A script asks for what a form would, to put parts of the answer into the page.
    bool by_script = false;

    [[nodiscard]] bool is_post() const { return method == "POST"; }
};

/// What is answered.
struct Reply {
    int status = 200;
    std::string type = "text/html; charset=utf-8";
    std::string body = {};
    std::vector<std::pair<std::string, std::string>> headers = {};
    /// Who tells things in this browser from now on; none: whoever did.
    std::optional<std::string> teller = std::nullopt;

    [[nodiscard]] static Reply page(std::string markup, int status = 200) {
        return {status, "text/html; charset=utf-8", std::move(markup), {}, {}};
    }
    /// After what changed something: the browser asks for `to` next, so that a reload repeats
    /// nothing.
    [[nodiscard]] static Reply see(std::string to) {
        return {303, "text/plain; charset=utf-8", "", {{"Location", std::move(to)}}, {}};
    }
    /// A file to be kept. `name` is one that the program made.
    [[nodiscard]] static Reply download(std::string body, std::string type,
                                        const std::string& name);
};

/// "a b&c" as a value in an address: everything but letters, digits and -._~ as %XX.
[[nodiscard]] std::string in_address(std::string_view value);

/// Must not throw what it knows; what it does throw becomes a page that says so.
using Answering = std::function<Reply(const Asked&)>;

}  // namespace earbudget::serving
