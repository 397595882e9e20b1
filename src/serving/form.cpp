#include <algorithm>

#include <fmt/format.h>

#include "serving/exchange.hpp"
#include "serving/target.hpp"

namespace earbudget::serving {

namespace {

/// A percent sign without two digits stands for itself, as browsers take it.
std::string decoded(std::string_view text) {
    std::string result;
    result.reserve(text.size());
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (text[at] == '+') {
            result += ' ';
        } else if (const auto byte = byte_escaped_at(text, at)) {
            result += *byte;
            at += 2;
        } else {
            result += text[at];
        }
    }
    return result;
}

constexpr std::string_view blanks = " \t\r\n";

}  // namespace

Form Form::of_text(std::string_view text) {
    Form form;
    while (!text.empty() && form.fields_.size() < most_fields) {
        const std::size_t end = std::min(text.find('&'), text.size());
        const std::string_view field = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (field.empty()) continue;
        const std::size_t equals = std::min(field.find('='), field.size());
        form.add(decoded(field.substr(0, equals)),
                 decoded(field.substr(std::min(equals + 1, field.size()))));
    }
    return form;
}

bool Form::has(std::string_view name) const {
    return std::ranges::any_of(fields_, [&](const auto& field) { return field.first == name; });
}

const std::string& Form::get(std::string_view name) const {
    static const std::string none;
    const auto found =
        std::ranges::find_if(fields_, [&](const auto& field) { return field.first == name; });
    return found == fields_.end() ? none : found->second;
}

std::optional<std::string> Form::filled(std::string_view name) const {
    for (const auto& [of, value] : fields_) {
        if (of != name) continue;
        const std::size_t begin = value.find_first_not_of(blanks);
        if (begin == std::string::npos) continue;
        return value.substr(begin, value.find_last_not_of(blanks) - begin + 1);
    }
    return std::nullopt;
}

std::vector<std::string> Form::all(std::string_view name) const {
    std::vector<std::string> values;
    for (const auto& [of, value] : fields_)
        if (of == name) values.push_back(value);
    return values;
}

Reply Reply::download(std::string body, std::string type, const std::string& name) {
    return {200,
            std::move(type),
            std::move(body),
            {{"Content-Disposition", fmt::format("attachment; filename=\"{}\"", name)}}};
}

std::string in_address(std::string_view value) {
    std::string result;
    for (const char byte : value) {
        const bool plain = (byte >= '0' && byte <= '9') || (byte >= 'A' && byte <= 'Z') ||
                           (byte >= 'a' && byte <= 'z') || byte == '-' || byte == '.' ||
                           byte == '_' || byte == '~';
        if (plain) {
            result += byte;
        } else {
            result += fmt::format("%{:02X}", static_cast<unsigned char>(byte));
        }
    }
    return result;
}

}  // namespace earbudget::serving
