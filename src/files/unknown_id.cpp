#include "files/unknown_id.hpp"

#include <fmt/format.h>

#include "files/nearest_name.hpp"

namespace earbudget::files {

InputError unknown_id(std::string_view what, const Located<std::string>& id,
                      const std::vector<std::string>& known, std::string_view none) {
    const auto nearest = nearest_name(id.value, known);
    return {id.position,
            fmt::format("unknown {} \"{}\"{}; accepted: {}", what, id.value,
                        nearest ? fmt::format(", the nearest known is \"{}\"", *nearest) : "",
                        known.empty() ? fmt::format("none, {}", none)
                                      : fmt::format("{}", fmt::join(known, ", ")))};
}

void list_unknown_id(ErrorList& errors, std::string_view what, const Located<std::string>& id,
                     const std::vector<std::string>& known, std::string_view none) {
    if (errors.may_have_lost(std::string(what))) return;
    if (errors.is_full()) {
        errors.count_more();
    } else {
        errors.add(unknown_id(what, id, known, none));
    }
}

}  // namespace earbudget::files
