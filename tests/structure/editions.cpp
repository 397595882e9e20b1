// A publication that has editions is named with its edition, or with the word that says that it is
// not known: in every text of the program, since each may be a source.
#include <algorithm>
#include <cctype>
#include <filesystem>
#include <regex>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

/// The literals of a source; those that stand beside each other are one.
std::vector<std::string> texts_of(const std::string& source) {
    std::vector<std::string> texts;
    bool joined = false;  // nothing but space since the last literal
    for (std::size_t i = 0; i < source.size(); ++i) {
        if (source.compare(i, 2, "//") == 0) {
            i = std::min(source.find('\n', i), source.size());
            continue;
        }
        if (source.compare(i, 3, "'\"'") == 0) i += 3;
        if (source[i] == '"') {
            if (!joined) texts.emplace_back();
            for (++i; i < source.size() && source[i] != '"'; ++i) {
                if (source[i] == '\\') ++i;
                texts.back() += source[i];
            }
            joined = true;
        } else if (!std::isspace(static_cast<unsigned char>(source[i]))) {
            joined = false;
        }
    }
    return texts;
}

/// Named without an edition, by nothing but its number.
bool lacks_edition(const std::string& text) {
    static const std::regex publication(
        R"((ISO 4869-\d|ISO 9612|ISO 1999|ISO 3744|ISO 1996-2|Guide 98-3|IEC 61672-1|IEC 61260-1)"
        R"(|IEC 60942|IEC 60601-2-33|EN 458|ANSI S12\.6|AS/NZS \d+(\.\d)?|H\.870|HSE L108)"
        R"(|TRLV L.{1,2}rm|DGUV (Regel|Information) [\d-]+|OSHA technical manual))"
        R"((:\d{4}| \(\d\d/\d{4}\))?)");
    static const std::regex unknown("memory|editions? not confirmed");
    // What is said of a level; the record says which edition it is by.
    static const std::regex of_a_level("by EN 458");
    const std::string rest = std::regex_replace(text, of_a_level, "");
    if (std::regex_search(rest, unknown)) return false;
    for (std::sregex_iterator found(rest.begin(), rest.end(), publication), end; found != end;
         ++found) {
        if ((*found)[(*found).size() - 1].length() == 0) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("every text that names a publication with editions names its edition") {
    int named = 0;
    for (const char* tree : {"/src", "/include"}) {
        for (const auto& entry : std::filesystem::recursive_directory_iterator(
                 std::string(EARBUDGET_SOURCE_DIR) + tree)) {
            const auto ending = entry.path().extension();
            if (ending != ".cpp" && ending != ".hpp") continue;
            for (const std::string& text : texts_of(content_of(entry.path().string()))) {
                CAPTURE(entry.path().string());
                CAPTURE(text);
                CHECK(!lacks_edition(text));
                if (text.find("ISO 4869-2:2018") != std::string::npos) ++named;
            }
        }
    }
    CHECK(named >= 5);  // the sources are there and were read
}

TEST_CASE("a text without an edition is found") {
    CHECK(lacks_edition("ISO 4869-2, clause 6"));
    CHECK(lacks_edition("ISO 4869-2:2018, clause 6; ISO 9612, clause 9"));
    CHECK(!lacks_edition("ISO 4869-2:2018, clause 6; ISO 9612:2009, clause 9"));
    CHECK(!lacks_edition("ISO 9612 (memory)"));
    CHECK(!lacks_edition("insufficient by EN 458"));
    CHECK(lacks_edition("EN 458, HML check"));
    CHECK(texts_of("f(\"a\"  \"b\", '\"', \"c\"); // \"d\"") ==
          std::vector<std::string>{"ab", "c"});
}
