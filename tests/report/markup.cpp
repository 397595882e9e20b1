// A user's text is text on every page, whatever it holds.
#include "report/html/markup.hpp"

#include <string>

#include <doctest/doctest.h>

#include "report/drawings/plot.hpp"

using namespace earbudget::report;
using namespace earbudget::report::html;

TEST_CASE("text becomes no markup, between tags and in attributes") {
    CHECK(escaped("<script>alert('x') & \"y\"</script>") ==
          "&lt;script&gt;alert(&#39;x&#39;) &amp; &quot;y&quot;&lt;/script&gt;");
    CHECK(escaped("a\nb\x01"
                  "c\x7F") == "a\\x0ab\\x01c\\x7f");
    CHECK(escaped("µ – 🦻") == "µ – 🦻");
    CHECK(text("a<b") == "<bdi>a&lt;b</bdi>");
    for (int code = 0; code < 256; ++code) {
        const std::string one(1, static_cast<char>(code));
        CHECK(escaped(one).find_first_of("<>\"'") == std::string::npos);
    }
}

TEST_CASE("text in a style sheet ends neither its string nor its element") {
    const std::string hostile = "\"; } </style><script> \\ \n é 🦻";
    const std::string inside = css_text(hostile);
    CHECK(inside.find_first_of("\"<>;}\n") == std::string::npos);
    CHECK(inside.find("é") != std::string::npos);
    CHECK(inside.find("\\000022") == 0);
    // Right-to-left override and isolate.
    const std::string turned =
        "a\xE2\x80\xAE"
        "b\xE2\x81\xA7"
        "c";
    CHECK(css_text(turned) == "a\\00005cu\\00007b202e\\00007db\\00005cu\\00007b2067\\00007dc");
    CHECK(escaped(turned) == "a\\u{202e}b\\u{2067}c");
}

TEST_CASE("a text is shortened by characters, never within one") {
    CHECK(shortened("abc", 3) == "abc");
    CHECK(shortened("abcd", 3) == "ab…");
    CHECK(shortened("🦻🦻🦻🦻", 3) == "🦻🦻…");
    CHECK(shortened("", 3).empty());
    CHECK(shortened("\x80\x80\x80", 5) == "\\x80…");
}

TEST_CASE("axes are divided at round numbers within their range") {
    for (const double to : {0.7, 1.0, 3.2, 64.8, 115.5, 250.0, 12345.0}) {
        CAPTURE(to);
        const auto ticks = ticks_of(0.0, to);
        CHECK(ticks.size() >= 3);
        CHECK(ticks.size() <= 7);
        CHECK(ticks.front() == 0.0);
        CHECK(ticks.back() <= to * (1.0 + 1e-9));
    }
    CHECK(ticks_of(-5.0, 60.0).front() >= -5.0);
}

TEST_CASE("labels are moved apart and stay in order and within bounds") {
    const auto moved = spread_apart({50.0, 52.0, 10.0, 51.0}, 12.0, 0.0, 100.0);
    CHECK(moved[2] == 10.0);
    CHECK(moved[3] - moved[0] >= 12.0);
    CHECK(moved[1] - moved[3] >= 12.0);
    const auto crowded = spread_apart({99.0, 99.0}, 12.0, 0.0, 100.0);
    CHECK(crowded[1] <= 100.0);
    CHECK(crowded[1] - crowded[0] >= 12.0);
}
