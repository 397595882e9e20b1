#pragma once

#include <sstream>
#include <string>
#include <vector>

namespace earbudget::guides {

/// The lines of a text, without empty ones at its ends.
[[nodiscard]] inline std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) {
        if (!line.empty() || !lines.empty()) lines.push_back(line);
    }
    while (!lines.empty() && lines.back().empty())
        lines.pop_back();
    return lines;
}

}  // namespace earbudget::guides
