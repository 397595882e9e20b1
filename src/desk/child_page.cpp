#include "desk/child_page.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "files/written_values.hpp"

namespace earbudget::desk {

namespace {

std::vector<std::string> lines_told(const std::string& text) {
    std::vector<std::string> lines;
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        if (end > at) lines.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    return lines;
}

constexpr std::string_view note = "note: ";

bool is_note(const std::string& line) { return line.find(note) != std::string::npos; }

bool goes_on(const std::string& words, std::size_t at) {
    const char next = at < words.size() ? words[at] : ' ';
    return next == '-' || (next >= 'a' && next <= 'z');
}

/// Every option as the form calls it.
std::string as_form_says(std::string words, const OptionWords& options) {
    for (const auto& [name, label] : options) {
        const std::string option = fmt::format("--{}", name), instead = fmt::format("“{}”", label);
        std::size_t at = words.find(option);
        while (at != std::string::npos) {
            if (goes_on(words, at + option.size())) {
                ++at;  // a longer name
            } else {
                words.replace(at, option.size(), instead);
                at += instead.size();
            }
            at = words.find(option, at);
        }
    }
    return words;
}

/// Of "--at-least is …" the option, and what is said of it.
std::string_view option_at(std::string_view line, const std::vector<std::string>& options) {
    if (!line.starts_with("--")) return {};
    const std::string_view name = line.substr(2, line.find_first_of(" :,") - 2);
    return std::ranges::find(options, name) == options.end() ? std::string_view() : name;
}

}  // namespace

std::string main_of_report(const std::string& page) {
    constexpr std::string_view begin = "<main id=\"main\">\n", end = "</main>";
    const std::size_t from = page.find(begin), to = page.rfind(end);
    if (from == std::string::npos || to == std::string::npos || to < from) return "";
    return page.substr(from + begin.size(), to - from - begin.size());
}

std::string option_with(std::string_view name, std::string_view value) {
    return fmt::format("--{}={}", name, value);
}

std::vector<std::string> options_filled(const Form& form, const std::vector<std::string>& names) {
    std::vector<std::string> options;
    for (const std::string& name : names)
        if (const auto value = form.filled(name)) options.push_back(option_with(name, *value));
    return options;
}

Mistakes mistakes_told(const ChildAnswer& answer, std::string_view command,
                       const std::vector<std::string>& options, const OptionWords& words) {
    const std::string before = fmt::format("earbudget {}: ", command);
    Mistakes mistakes;
    for (const std::string& line : lines_told(answer.errors)) {
        if (is_note(line)) continue;
        const std::string_view said =
            std::string_view(line).substr(line.starts_with(before) ? before.size() : 0);
        const std::string_view option = option_at(said, options);
        if (option.empty() || mistakes.at.contains(std::string(option))) {
            mistakes.others.push_back(as_form_says(std::string(said), words));
        } else {
            std::string_view rest = said.substr(option.size() + 2);
            rest = rest.substr(std::min(rest.find_first_not_of(": "), rest.size()));
            mistakes.at[std::string(option)] = (rest.starts_with("is ") ? "It " : "This ") +
                                               as_form_says(std::string(rest), words);
        }
    }
    if (answer.too_long) {
        mistakes.others.emplace_back("It took longer than is given to it, and was ended.");
    } else if (answer.status < 0) {
        mistakes.others.emplace_back(
            "It needed more memory or time than is given to it, or failed, "
            "and was ended. The desk is not touched by that.");
    } else if (answer.output.empty() && mistakes.none()) {
        mistakes.others.push_back(fmt::format("It ended with {} and said nothing.", answer.status));
    }
    return mistakes;
}

std::vector<std::string> notes_told(const ChildAnswer& answer) {
    std::vector<std::string> notes;
    for (const std::string& line : lines_told(answer.errors))
        if (is_note(line)) notes.push_back(line.substr(line.find(note) + note.size()));
    return notes;
}

}  // namespace earbudget::desk
