#pragma once

#include <string>

namespace earbudget::test {

/// Whether a text has these words somewhere.
inline bool holds(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

}  // namespace earbudget::test
