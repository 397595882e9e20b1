// JSON holds the data as they are and is read on terminals too.
#include "report/json_text.hpp"

#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace earbudget;
using Json = nlohmann::ordered_json;

TEST_CASE("characters that are not seen are escaped in JSON, and come back") {
    const std::string hidden =
        "\x1b[2J\x7f\u0085\u009b\u00ad\u200b\u200d\u202e\u2028\u2066\ufeff\U000e0041 é 🦻 "
        "\"\\\n";
    const std::string text = report::json_text({{hidden, hidden}});
    for (const std::string raw : {"\x1b", "\x7f", "\u0085", "\u009b", "\u00ad", "\u200b", "\u200d",
                                  "\u202e", "\u2028", "\u2066", "\ufeff", "\U000e0041"}) {
        CHECK(text.find(raw) == std::string::npos);
    }
    CHECK(text.find("\\u009b") != std::string::npos);
    CHECK(text.find("\\udb40\\udc41") != std::string::npos);
    CHECK(text.find("é 🦻") != std::string::npos);
    CHECK(Json::parse(text) == Json{{hidden, hidden}});
}

TEST_CASE("bytes that are no UTF-8 are replaced in JSON, no number is -0 or none") {
    CHECK(Json::parse(report::json_text({{"file", "rec\xff.wav"}}))["file"] == "rec\ufffd.wav");
    const std::string text = report::json_text(
        {{"zero", -0.0}, {"list", {-0.0, -0.5, 1.0}}, {"none", std::nan("")}, {"text", "-0.0"}});
    CHECK(Json::parse(text)["text"] == "-0.0");
    CHECK(text.find("-0.0,") == std::string::npos);
    CHECK(text.find("-0.5") != std::string::npos);
    CHECK(text.find("nan") == std::string::npos);
}
