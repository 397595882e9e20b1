// Sentences stand in report/words: the rooms that compute say phrases with arguments.
#include <algorithm>
#include <cctype>
#include <filesystem>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

constexpr std::size_t words_of_a_sentence = 5;

/// A text between quotation marks, with those that follow it without anything between them.
struct Literal {
    std::string before;  ///< of its statement
    std::string text;
};

std::string without_comments(const std::string& source) {
    std::string kept;
    for (std::size_t i = 0; i < source.size(); ++i) {
        if (source.compare(i, 2, "//") == 0) i = source.find('\n', i);
        if (i == std::string::npos) break;
        kept += source[i];
    }
    return kept;
}

std::vector<Literal> literals_in(const std::string& source) {
    std::vector<Literal> all;
    std::size_t statement = 0;
    std::size_t end_of_last = 0;
    for (std::size_t i = 0; i < source.size(); ++i) {
        if (source[i] == '\'' && i + 2 < source.size()) {  // a character, perhaps a quotation mark
            if (source[i + 1] == '\\')
                i += 3;
            else if (source[i + 2] == '\'')
                i += 2;
            continue;
        }
        if (source[i] == ';') statement = i + 1;
        if (source[i] != '"') continue;
        const std::size_t start = i++;
        std::string text;
        for (; source[i] != '"'; ++i) {
            if (source[i] == '\\') ++i;
            text += source[i];
        }
        const bool goes_on =
            !all.empty() && source.find_first_not_of(" \n", end_of_last + 1) == start;
        if (goes_on) {
            all.back().text += text;
        } else {
            all.push_back({source.substr(statement, start - statement), text});
        }
        end_of_last = i;
    }
    return all;
}

/// Between spaces, with two letters at least.
std::size_t words_in(const std::string& text) {
    std::istringstream stream(text);
    std::size_t words = 0;
    for (std::string word; stream >> word;) {
        words +=
            std::ranges::count_if(word, [](unsigned char c) { return std::isalpha(c) != 0; }) > 1;
    }
    return words;
}

/// Formulas and sources are cited as published, and faults of the program itself are no answer.
bool is_excused(const std::string& before) {
    if (before.find("Formula") != before.npos || before.find("_error(") != before.npos ||
        before.find("invalid_argument(") != before.npos) {
        return true;
    }
    const std::size_t last = before.find_last_not_of(" \n");
    const std::string_view name = std::string_view(before).substr(0, last + 1);
    return name.ends_with("title =") || name.ends_with("source =");
}

std::vector<std::string> sentences_in(const std::string& file) {
    std::vector<std::string> sentences;
    for (const Literal& literal : literals_in(without_comments(file))) {
        if (words_in(literal.text) >= words_of_a_sentence && !is_excused(literal.before))
            sentences.push_back(literal.text);
    }
    return sentences;
}

}  // namespace

TEST_CASE("rooms that compute hold no sentences: these stand in report/words") {
    int sources = 0;
    for (const char* room :
         {"computing", "acoustics", "measurement", "protection", "exposure", "study", "day",
          "uncertainty", "limits", "choice", "review", "advice"}) {
        const auto folder = std::filesystem::path(EARBUDGET_SOURCE_DIR) / "src" / room;
        for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
            if (entry.path().extension() != ".cpp") continue;
            ++sources;
            for (const std::string& sentence : sentences_in(content_of(entry.path().string()))) {
                CAPTURE(entry.path().string());
                FAIL_CHECK(sentence);
            }
        }
    }
    CHECK(sources > 60);
}

TEST_CASE("a sentence in a room is found, however it is broken; a formula is none") {
    CHECK(sentences_in("return {code, fmt::format(\"The level varies \"\n  \"too much.\")};")
              .size() == 1);
    CHECK(sentences_in("constexpr Formula f{\"the level of the whole day\", \"sum of all\"};")
              .empty());
    CHECK(sentences_in("// a remark: \"this is no sentence of it\"\nf(\"on two lines\");").empty());
}
