#include "cli/list_option.hpp"

#include <fmt/format.h>

#include "cli/messages.hpp"

namespace earbudget::cli {

namespace {

[[noreturn]] void refuse(std::string_view option, const std::string& given,
                         std::string_view problem) {
    throw UsageProblem(
        fmt::format("{} is \"{}\", {}; accepted: entries with commas between them, "
                    "in double quotes where they hold one: '\"Adult, plugs\",x'",
                    option, given, problem));
}

std::string_view trimmed(std::string_view text) {
    const std::size_t begin = text.find_first_not_of(' ');
    if (begin == text.npos) return "";
    return text.substr(begin, text.find_last_not_of(' ') + 1 - begin);
}

/// Takes one entry and the comma behind it off the text.
std::string take_entry(std::string_view& text, const std::string& given, std::string_view option) {
    if (!text.starts_with('"')) {
        const std::size_t comma = text.find(',');
        const std::string entry(trimmed(text.substr(0, comma)));
        text.remove_prefix(comma == text.npos ? text.size() : comma);
        return entry;
    }
    std::string entry;
    std::size_t at = 1;
    for (;; ++at) {
        if (at >= text.size()) refuse(option, given, "in which a quote does not end");
        if (text[at] == '"' && !text.substr(at + 1).starts_with('"')) break;
        if (text[at] == '"') ++at;
        entry += text[at];
    }
    text = trimmed(text.substr(at + 1));
    if (!text.empty() && text.front() != ',') refuse(option, given, "with more behind a quote");
    return entry;
}

}  // namespace

std::vector<std::string> entries_of(const std::vector<std::string>& given,
                                    std::string_view option) {
    std::vector<std::string> entries;
    for (const std::string& list : given) {
        std::string_view text = trimmed(list);
        for (bool more = true; more;) {
            entries.push_back(take_entry(text, list, option));
            if (entries.back().empty()) refuse(option, list, "with an empty entry");
            more = text.starts_with(',');
            if (more) text = trimmed(text.substr(1));
        }
    }
    return entries;
}

}  // namespace earbudget::cli
