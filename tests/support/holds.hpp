#pragma once

#include <string>

namespace earbudget::test {

/// Whether a text has these words somewhere.
inline bool holds(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

/// A text with each stretch of spaces and line breaks as one space: for words that may be wrapped.
inline std::string unwrapped(const std::string& text) {
    std::string line;
    for (const char letter : text) {
        const bool space = letter == ' ' || letter == '\n';
        if (!space || line.empty() || line.back() != ' ') line += space ? ' ' : letter;
    }
    return line;
}

}  // namespace earbudget::test
