#include "report/people_words.hpp"

#include <fmt/format.h>

#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

constexpr std::size_t most_named = 3;

}  // namespace

std::string names_of_people(const std::vector<std::string>& ids) {
    if (ids.size() > most_named)
        return fmt::format("{}, {} and {} others", ids[0], ids[1], ids.size() - 2);
    std::string names;
    for (std::size_t n = 0; n < ids.size(); ++n) {
        if (n > 0) names += n + 1 == ids.size() ? " and " : ", ";
        names += ids[n];
    }
    return names;
}

std::string name_of_group(const std::vector<std::string>& ids) {
    return ids.size() == 1 ? ids.front()
                           : fmt::format("{} and {} alike", ids.front(), ids.size() - 1);
}

std::string others_of_group(const std::vector<std::string>& ids) {
    if (ids.size() == 1) return "";
    return fmt::format("the same for {}", fmt::join(ids.begin() + 1, ids.end(), ", "));
}

std::string warning_words(const Warning& warning, std::size_t all_people) {
    if (warning.people.empty()) return text_of(warning.says);
    const bool everyone = all_people > 1 && warning.people.size() == all_people;
    return fmt::format("for {}: {}", everyone ? "everyone" : names_of_people(warning.people),
                       text_of(warning.says));
}

}  // namespace earbudget::report
