// What is no TOML is refused in words for who wrote it, at the place where it goes wrong: the
// commonest mistakes by their names, and what is another kind of file by its own.
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

struct Written {
    std::string content;
    std::string place;  ///< of the message, without the file
    std::string words;  ///< that it must say
};

void check(const Written& written) {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("plan.toml", written.content));
    const Outcome outcome = run_program({"assess", "plan.toml"}, folder.path(""));
    CAPTURE(written.content);
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(outcome.errors.find("plan.toml:" + written.place + ": ") == 0);
    CHECK(outcome.errors.find(written.words) != std::string::npos);
    CHECK(outcome.errors.find("; accepted: ") != std::string::npos);
    // No words of the parser's.
    for (const std::string word : {"Error while", "expected", "saw", "U+00", "encountered"})
        CHECK(outcome.errors.find(word) == std::string::npos);
}

const std::string plan_begins = "kind = \"plan\"\n";

}  // namespace

TEST_CASE("mistakes of typing TOML are called by their names") {
    const std::vector<Written> all = {
        {plan_begins + "title = \"Small\n", "2:15", "without its closing quote"},
        {"kind = \"plan\nformat = 1\n", "1:13", "without its closing quote"},
        {"kind = 'plan\nformat = 1\n", "1:13", "without its closing quote"},
        {plan_begins + "title = \"\"\"Small\n", "2:18", "three quotes that does not end"},
        {"kind = “plan”\n", "1:8", "curly quote"},
        {plan_begins + "wears = [“foam”]\n", "2:10", "curly quote"},
        {plan_begins + "title = \"Small”\n", "2:16", "curly quote"},
        {plan_begins + "sequences = \"C:\\data\\cards\"\n", "2:17", "a Windows path; accepted: /"},
        {plan_begins + "sequences = \"C:\\Users\\cards\"\n", "2:18", "a Windows path"},
        {plan_begins + "LAeq = 108,5\n", "2:11",
         "108,5 has a decimal comma; accepted: a decimal point, 108.5"},
        {plan_begins + "title \"Small\"\n", "2:7", "no \"=\" between a key and its value"},
        {plan_begins + "title: \"Small\"\n", "2:6", "\":\" instead of \"=\""},
        {plan_begins + "title =\nformat = 1\n", "2:8", "no value behind \"=\""},
        {plan_begins + "duration = 8 min\n", "2:14",
         "8 min without quotes; accepted: a duration in quotes, \"8 min\", or a number "
         "without its unit, 8"},
        {plan_begins + "LAeq = 108.5 dB # loud\n", "2:14", "a number without its unit, 108.5"},
        {plan_begins + "duration = 8:30\n", "2:13", "8:30 is a time without quotes"},
        {plan_begins + "id = epi\n", "2:6",
         "epi without quotes; accepted: text in quotes, \"epi\""},
        {plan_begins + "wears = [foam]\n", "2:11", "texts in quotes or numbers"},
        {plan_begins + "metal_free = True\n", "2:14", "accepted: true or false"},
        {plan_begins + "metal_free = yes\n", "2:14", "accepted: true or false"},
        {plan_begins + "LAeq = .5\n", "2:8", "a digit on both sides of the point"},
        {plan_begins + "difference_dB = −45.0\n", "2:17", "a minus as it is typed, -45.0"},
        {plan_begins + "title = \"a\";\n", "2:12", "without a comma or semicolon at the end"},
        {plan_begins + "mean = [20.0, 30.0\nsd = [3.0, 4.0]\n", "3:1", "a list that does not end"},
        {plan_begins + "[policy\nmethod = \"nrr\"\n", "2:8", "a heading that is not written right"},
        {plan_begins + "// rooms\n", "2:1", "accepted: # comment"},
        {plan_begins + "format = 1\ntitle = \"a\"\n  title = \"b\"\n", "4:3",
         "title stands twice, first in line 3"},
        {plan_begins + "[policy]\nmethod = \"nrr\"\n[policy]\n", "4:1",
         "[policy] stands twice, first in line 2"},
        {plan_begins + "[person]\nid = \"a\"\n[[person]]\n", "4:1", "another number of brackets"},
        {plan_begins + "title = \"J\xf6rg\"\n", "2:10", "not UTF-8, as in a file saved as Latin-1"},
    };
    for (const Written& written : all)
        check(written);
}

TEST_CASE("what is another kind of file is called by its name") {
    const std::string utf16 = std::string("\xff\xfe") + std::string("k\0i\0n\0d\0", 8);
    const std::vector<Written> all = {
        {"id,title,duration\nepi,Echo planar,8 min\n", "1:3", "a table of columns (CSV)"},
        {"id;title;duration\nepi;Echo planar;8 min\n", "1:3", "a table of columns (CSV)"},
        {"{ \"kind\": \"plan\" }\n", "1:1", "this is JSON"},
        {"kind: plan\nformat: 1\n", "1:5", "this is YAML"},
        {"<?xml version=\"1.0\"?>\n<plan/>\n", "1:1", "this is XML"},
        {utf16, "1:1", "text in UTF-16; accepted: a TOML file, plain text"},
        {utf16.substr(2), "1:1", "text in UTF-16"},
        {"PK\x03\x04"
         "and more",
         "1:1", "a word processor or a spreadsheet"},
        {"%PDF-1.7\n", "1:1", "a PDF"},
        {"fLaC and more", "1:1",
         "a recording; accepted: a TOML file; recordings are for earbudget measure"},
        // Larger than any TOML file, as recordings are.
        {"RIFF....WAVE" + std::string(5U << 20U, 'x'), "1:1", "a recording"},
    };
    for (const Written& written : all) {
        if (written.content.size() > 1000) {
            const TemporaryFolder folder;
            static_cast<void>(folder.write("plan.toml", written.content));
            CHECK(run_program({"assess", "plan.toml"}, folder.path(""))
                      .errors.find("plan.toml:1:1: this is a recording; ") == 0);
        } else {
            check(written);
        }
    }
}

TEST_CASE("a byte order mark of UTF-8 and lines of Windows change nothing") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write(
        "plan.toml", "\xef\xbb\xbfkind = \"plan\"\r\nformat = 1\r\ntitel = \"x\"\r\n"));
    const Outcome outcome = run_program({"assess", "plan.toml"}, folder.path(""));
    CHECK(outcome.errors.find("plan.toml:3:1: unknown key \"titel\"") != std::string::npos);
}
