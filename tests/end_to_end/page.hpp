#pragma once

#include <cstdlib>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>

namespace earbudget::test {

/// The attributes of one element.
using Attributes = std::map<std::string, std::string>;

/// Every element of the page with this attribute. Attributes are in double quotes there.
inline std::vector<Attributes> elements_with(const std::string& page, const std::string& wanted) {
    std::vector<Attributes> found;
    for (std::size_t open = page.find('<'); open != std::string::npos;
         open = page.find('<', open + 1)) {
        const std::size_t close = page.find('>', open);
        const std::string tag = page.substr(open, close - open);
        Attributes attributes;
        for (std::size_t equals = tag.find("=\""); equals != std::string::npos;
             equals = tag.find("=\"", equals + 1)) {
            const std::size_t name = tag.find_last_of(" \n", equals) + 1;
            const std::size_t end = tag.find('"', equals + 2);
            attributes[tag.substr(name, equals - name)] = tag.substr(equals + 2, end - equals - 2);
        }
        if (attributes.contains(wanted)) found.push_back(std::move(attributes));
    }
    return found;
}

/// The numbers of an attribute.
inline std::vector<double> numbers_of(const Attributes& element, const std::string& name) {
    std::vector<double> numbers;
    std::istringstream words(element.at(name));
    for (std::string word; words >> word;)
        numbers.push_back(std::strtod(word.c_str(), nullptr));
    return numbers;
}

/// The part of a page between two texts.
inline std::string between(const std::string& page, const std::string& from,
                           const std::string& to) {
    const std::size_t begin = page.find(from);
    REQUIRE(begin != std::string::npos);
    return page.substr(begin, page.find(to, begin + from.size()) - begin);
}

inline int count_of(const std::string& text, const std::string& words) {
    int count = 0;
    for (std::size_t at = text.find(words); at != std::string::npos;
         at = text.find(words, at + words.size()))
        ++count;
    return count;
}

/// What holds of every page: it needs nothing from outside, runs nothing, and is in order.
inline void check_page(const std::string& page) {
    CHECK(page.find("<!DOCTYPE html>\n<html lang=\"en\">") == 0);
    for (const char* never :
         {"<script", " src=", "http:", "https:", "url(http", "@import", "<link", "<iframe",
          " onload", "\"nan", "\"inf", "\"-inf", " nan", ">nan", ">inf<"}) {
        CAPTURE(never);
        CHECK(page.find(never) == std::string::npos);
    }
    for (const char* once : {"<main", "<header", "<footer", "<h1", "<title>"}) {
        CAPTURE(once);
        CHECK(count_of(page, once) == 1);
    }
    int level = 1;
    for (std::size_t at = page.find("<h1"); at != std::string::npos; at = page.find("<h", at + 1)) {
        const int now = page[at + 2] - '0';
        if (now < 1 || now > 6) continue;  // <header>, <html>
        CHECK(now <= level + 1);
        CHECK(now <= 3);
        level = now;
    }
    CHECK(count_of(page, "<table>") == count_of(page, "<caption>"));
    CHECK(count_of(page, "<svg ") == count_of(page, "role=\"img\""));
    std::map<std::string, int> ids;
    for (const Attributes& element : elements_with(page, "id"))
        CHECK(++ids[element.at("id")] == 1);
    for (const Attributes& element : elements_with(page, "href"))
        CHECK(ids.contains(element.at("href").substr(1)));
}

}  // namespace earbudget::test
