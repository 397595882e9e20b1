#include "earbudget/study/card_age.hpp"

#include <algorithm>
#include <chrono>
#include <ctime>

#include <fmt/format.h>

namespace earbudget {

namespace {

constexpr std::string_view pattern = "0000-00-00";

bool is_digit(char c) { return c >= '0' && c <= '9'; }

int number_in(std::string_view digits) {
    int number = 0;
    for (const char digit : digits)
        number = 10 * number + (digit - '0');
    return number;
}

std::chrono::year_month_day date_of(std::string_view day) {
    return {std::chrono::year(number_in(day.substr(0, 4))),
            std::chrono::month(static_cast<unsigned>(number_in(day.substr(5, 2)))),
            std::chrono::day(static_cast<unsigned>(number_in(day.substr(8, 2))))};
}

}  // namespace

bool is_calendar_day(std::string_view text) {
    if (text.size() != pattern.size()) return false;
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        if (pattern[i] == '-' ? text[i] != '-' : !is_digit(text[i])) return false;
    }
    const auto date = date_of(text);
    return static_cast<int>(date.year()) >= 1 && date.ok();
}

std::string day_at_start(std::string_view text) {
    const std::string_view day = text.substr(0, pattern.size());
    const bool goes_on = text.size() > pattern.size() && is_digit(text[pattern.size()]);
    return is_calendar_day(day) && !goes_on ? std::string(day) : std::string();
}

std::string day_after(std::string_view day) {
    const std::chrono::year_month_day next(std::chrono::sys_days(date_of(day)) +
                                           std::chrono::days(1));
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(next.year()),
                       static_cast<unsigned>(next.month()), static_cast<unsigned>(next.day()));
}

int days_between(std::string_view earlier, std::string_view later) {
    const auto days =
        std::chrono::sys_days(date_of(later)) - std::chrono::sys_days(date_of(earlier));
    return static_cast<int>(days.count());
}

std::string today() {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
    ::localtime_r(&now, &local);
    return fmt::format("{:04}-{:02}-{:02}", local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
}

bool is_stale(const Sequence& card, std::string_view day) {
    return !card.valid_until.empty() && !day.empty() && card.valid_until < day;
}

std::vector<std::string> superseded_by(const Sequence& card, const std::vector<Sequence>& cards) {
    std::vector<std::string> ids;
    for (const Sequence& other : cards) {
        if (std::ranges::find(other.supersedes, card.id) != other.supersedes.end())
            ids.push_back(other.id);
    }
    return ids;
}

}  // namespace earbudget
