// JSON holds the data as they are and is read on terminals too.
#include "report/json_text.hpp"

#include <cmath>
#include <cstdint>
#include <limits>
#include <string>

#include <doctest/doctest.h>

using namespace earbudget;

namespace {

std::string in_json(const std::string& text) {
    report::JsonText json;
    json.text(text);
    return json.take();
}

std::string in_json(double number) {
    report::JsonText json;
    json.number(number);
    return json.take();
}

}  // namespace

TEST_CASE("characters that are not seen are escaped in JSON, the others stand as they are") {
    const std::string text = in_json(
        "\x1b[2J\x7f\u0085\u009b\u00ad\u200b\u200d\u202e\u2028\u2066\ufeff\U000e0041 é 🦻 "
        "\"\\\n");
    CHECK(text ==
          "\"\\u001b[2J\\u007f\\u0085\\u009b\\u00ad\\u200b\\u200d\\u202e\\u2028\\u2066\\ufeff"
          "\\udb40\\udc41 é 🦻 \\\"\\\\\\n\"\n");
}

TEST_CASE("bytes that are no UTF-8 are replaced in JSON, no number is -0 or none") {
    CHECK(in_json("rec\xff.wav") == "\"rec\ufffd.wav\"\n");
    CHECK(in_json("-0.0") == "\"-0.0\"\n");
    CHECK(in_json(-0.0) == "0.0\n");
    CHECK(in_json(-0.5) == "-0.5\n");
    CHECK(in_json(85.0) == "85.0\n");
    CHECK(in_json(std::nan("")) == "null\n");
}

TEST_CASE("objects and lists are indented by two, empty ones stay on their line") {
    report::JsonText json;
    json.open_object();
    json.key("empty");
    json.open_list();
    json.close_list();
    json.key("a \"list\"");
    json.open_list();
    json.boolean(true);
    json.open_object();
    json.close_object();
    json.natural(std::numeric_limits<std::uint64_t>::max());
    json.integer(-1);
    json.close_list();
    json.key("none");
    json.null();
    json.close_object();
    CHECK(json.take() ==
          "{\n"
          "  \"empty\": [],\n"
          "  \"a \\\"list\\\"\": [\n"
          "    true,\n"
          "    {},\n"
          "    18446744073709551615,\n"
          "    -1\n"
          "  ],\n"
          "  \"none\": null\n"
          "}\n");
}
