// Forms of addresses and bodies, whatever the pieces they arrive in.
#include <filesystem>
#include <fstream>
#include <random>

#include "serving/asking.hpp"
#include "serving/body.hpp"
#include "serving/target.hpp"

using namespace earbudget;
using namespace earbudget::test;
using serving::Body;
using serving::Form;

namespace {

std::string random_text(std::mt19937& random, std::size_t most) {
    static constexpr std::string_view often = "&=+%;\"\r\n-/ \\aZ0";
    std::string text(random() % (most + 1), ' ');
    for (char& byte : text)
        byte =
            random() % 2 == 0 ? often[random() % often.size()] : static_cast<char>(random() % 256);
    return text;
}

std::string content_of(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

const std::string with_files = "multipart/form-data; boundary=----limit-7";

std::string part(const std::string& disposition, const std::string& content) {
    return "------limit-7\r\nContent-Disposition: form-data; " + disposition + "\r\n\r\n" +
           content + "\r\n";
}
const std::string last = "------limit-7--\r\n";

}  // namespace

TEST_CASE("what is put into an address or a form comes out as it was") {
    std::mt19937 random(7);
    for (int n = 0; n < 2'000; ++n) {
        std::vector<std::pair<std::string, std::string>> fields;
        std::string text;
        for (std::size_t count = random() % 5; count > 0; --count) {
            fields.emplace_back("n" + random_text(random, 6), random_text(random, 40));
            text += (text.empty() ? "" : "&") + serving::in_address(fields.back().first) + "=" +
                    serving::in_address(fields.back().second);
        }
        const Form form = Form::of_text(text);
        REQUIRE(form.fields() == fields);
        for (const auto& [name, value] : fields) {
            CHECK(form.has(name));
            const auto path = serving::path_in("/" + serving::in_address(value));
            if (path) CHECK(*path == "/" + value);
        }
    }
}

TEST_CASE("forms are read as browsers write them, and anything else in some way") {
    const Form form = Form::of_text("a=1&b=two+words&a=%C3%B6&empty=&=x&&alone&bad=%zz%4&c=a=b");
    CHECK(form.all("a") == std::vector<std::string>{"1", "\xc3\xb6"});
    CHECK(form.get("b") == "two words");
    CHECK(form.has("empty"));
    CHECK_FALSE(form.filled("empty"));
    CHECK(form.has("alone"));
    CHECK(form.get("bad") == "%zz%4");
    CHECK(form.get("c") == "a=b");
    CHECK(Form::of_text("a=+x++").filled("a") == "x");
    CHECK(Form::of_text(std::string(200'000, '&')).fields().empty());
    std::string many;
    for (std::size_t n = 0; n < 2 * Form::most_fields; ++n)
        many += "a&";
    CHECK(Form::of_text(many).fields().size() == Form::most_fields);
}

TEST_CASE("a form with files is the same in whatever pieces it comes") {
    std::mt19937 random(11);
    for (int n = 0; n < 300; ++n) {
        // What looks like a boundary, and is none, is part of the content.
        const std::string content =
            random_text(random, 300) + "\r\n------limit-" + random_text(random, 90);
        const std::string value = random_text(random, 40);
        if ((content + value).find("\r\n------limit-7") != std::string::npos) continue;
        const std::string sent = part("name=\"token\"", value) +
                                 part("name=\"sound\"; filename=\"../a \"", content) +
                                 part("name=\"none\"; filename=\"\"", "") + last;
        serving::Asked asked;
        Body body(with_files, asked);
        for (std::size_t at = 0; at < sent.size();) {
            const std::size_t size = 1 + random() % (n % 2 == 0 ? 3 : 200);
            REQUIRE(body.take(std::string_view(sent).substr(at, size)));
            at += size;
        }
        REQUIRE(body.finish());
        REQUIRE(asked.uploads.size() == 1);
        CHECK(asked.form.get("token") == value);
        CHECK(asked.uploads[0].field == "sound");
        CHECK(asked.uploads[0].name == "../a ");
        CHECK(asked.uploads[0].bytes == content.size());
        CHECK(asked.uploads[0].path.filename() == "file-0");
        CHECK(content_of(asked.uploads[0].path) == content);
    }
}

TEST_CASE("files that were sent go with the request") {
    std::filesystem::path sent;
    {
        serving::Asked asked;
        Body body("application/octet-stream", asked);
        CHECK(body.take("sound"));
        CHECK(body.finish());
        sent = asked.uploads.at(0).path;
        CHECK(content_of(sent) == "sound");
    }
    CHECK_FALSE(std::filesystem::exists(sent));
    CHECK_FALSE(std::filesystem::exists(sent.parent_path()));
}

TEST_CASE("a body that is no such form, or too much of one, is refused") {
    Served served;
    const std::string token = part("name=\"token\"", served.token());
    const auto status = [&](const std::string& type, const std::string& body) {
        return served.status(served.post("/", type, body));
    };
    CHECK(status(with_files, token + last) == 200);
    CHECK(status("Multipart/Form-Data ; Boundary=\"----limit-7\"", token + last) == 200);
    CHECK(status(with_files, token + last + "behind it") == 200);
    const std::string long_head(5'000, 'a');
    for (const std::string& odd :
         {token, std::string(), "before" + token + last, token + "------limit-7xx",
          "------limit-7\r\n\r\nno head\r\n" + last, part("filename=\"x\"", "") + last,
          part("name=\"a\"\r\nX: " + long_head, "") + last, "------limit-7\r\nX: " + long_head,
          "------limit-7\r\nContent-Disposition: attachment; name=\"a\"\r\n\r\n\r\n" + last})
        CHECK_MESSAGE(status(with_files, odd) == 400, odd.substr(0, 100));
    CHECK(status("multipart/form-data", token + last) == 400);
    CHECK(status("multipart/form-data; boundary=" + std::string(71, 'a'), token + last) == 400);
    CHECK(status("text/plain", "token=" + served.token()) == 400);
    CHECK(status("application/json", "{}") == 400);

    const std::string large(serving::most_form_bytes + 1, 'a');
    CHECK(status("application/x-www-form-urlencoded", large) == 413);
    CHECK(status(with_files, part("name=\"a\"", large) + last) == 413);
    std::string many;
    for (int n = 0; n < 60; ++n)
        many += part("name=\"f\"; filename=\"x\"", "x");
    CHECK(status(with_files, many + last) == 413);
    CHECK(served.asked.size() == 3);
    // What it says of its length is enough to be refused.
    Served::Headers headers = served.let_in();
    headers.insert(headers.end(), {{"Origin", served.origin()}, {"Content-Length", "2000000000"}});
    CHECK(served.status(Served::request("POST", "/", headers)) == 413);
}
