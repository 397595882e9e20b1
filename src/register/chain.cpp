#include "register/chain.hpp"

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <system_error>

#include <fmt/format.h>
#include <sys/random.h>

namespace earbudget::registers {

namespace {

/// Parts one after the other so that no two lists of parts make one text.
class CanonicalText {
  public:
    explicit CanonicalText(std::string_view what) { add(what); }

    void add(std::string_view part) {
        fmt::format_to(std::back_inserter(text_), "{}:", part.size());
        text_ += part;
    }
    void add(std::int64_t number) { add(fmt::format_int(number).c_str()); }
    template <class Part>
    void add(const std::optional<Part>& part) {
        if (part) {
            add(*part);
        } else {
            text_ += '-';
        }
    }
    [[nodiscard]] Sha256 sum() const { return files::sha256_bytes(text_); }

  private:
    std::string text_;
};

std::optional<std::int64_t> whole_number(std::string_view digits) {
    std::int64_t number = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (error != std::errc() || end != digits.data() + digits.size()) return std::nullopt;
    return number;
}

}  // namespace

Salt random_salt() {
    Salt salt{};
    if (::getrandom(salt.data(), salt.size(), 0) != static_cast<ssize_t>(salt.size()))
        throw std::system_error(errno, std::generic_category(), "no random numbers");
    return salt;
}

std::string hexadecimal(std::string_view bytes) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text;
    for (const char byte : bytes) {
        const auto value = static_cast<unsigned char>(byte);
        text += digits[value >> 4U];
        text += digits[value & 15U];
    }
    return text;
}

Sha256 hash_of(const Header& header) {
    CanonicalText text("earbudget register entry 1");
    text.add(header.n);
    text.add(header.recorded_ms);
    text.add(header.kind);
    text.add(header.commitment);
    text.add(header.previous);
    return text.sum();
}

Sha256 commitment_of(const Content& content) {
    CanonicalText text("earbudget register content 1");
    text.add(content.salt);
    text.add(content.person_seal);
    text.add(content.recorder_seal);
    text.add(content.session);
    text.add(content.from_ms);
    text.add(content.to_ms);
    text.add(content.offset_minutes);
    text.add(content.corrects);
    text.add(content.body);
    return text.sum();
}

Sha256 seal_of(std::string_view salt, std::string_view code, std::int64_t person) {
    CanonicalText text("earbudget register code 1");
    text.add(salt);
    text.add(code);
    text.add(person);
    return text.sum();
}

Sha256 beginning_of(const RegisterSettings& settings, std::string_view identity) {
    CanonicalText text("earbudget register 1");
    text.add(identity);
    text.add(std::string_view(settings.title));
    text.add(std::string_view(settings.time_zone));
    std::optional<std::int64_t> days;
    if (settings.retention_days) days = *settings.retention_days;
    text.add(days);
    text.add(settings.created.ms);
    return text.sum();
}

std::string Head::text() const { return fmt::format("{}:{}", n, hash); }

std::optional<Head> Head::parse(std::string_view text) {
    constexpr std::size_t digits_of_hash = 64;
    const std::size_t colon = text.find(':');
    if (colon == std::string_view::npos || colon == 0 || text[0] < '0' || text[0] > '9')
        return std::nullopt;
    const auto n = whole_number(text.substr(0, colon));
    std::string hash(text.substr(colon + 1));
    if (!n || hash.size() != digits_of_hash) return std::nullopt;
    for (char& digit : hash) {
        if (digit >= 'A' && digit <= 'F') digit = static_cast<char>(digit - 'A' + 'a');
        if (!((digit >= '0' && digit <= '9') || (digit >= 'a' && digit <= 'f')))
            return std::nullopt;
    }
    return Head{*n, hash};
}

}  // namespace earbudget::registers
