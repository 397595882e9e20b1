#include "files/wearing_reader.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "files/ids.hpp"

namespace earbudget::files {

namespace {

constexpr NumberRange fraction_range{0.0, 1.0, ""};
constexpr NumberRange worn_uncertainty_range{0.0, 0.5, ""};

}  // namespace

bool lost_any(const ErrorList& errors, const std::vector<std::string>& protectors) {
    return std::ranges::any_of(
        protectors, [&](const std::string& id) { return errors.has_lost("protector", id); });
}

std::vector<std::string> read_protector_ids(TableReader& table, std::string_view key,
                                            const Catalogue& catalogue) {
    const auto stated = table.texts(key);
    std::vector<std::string> ids;
    if (!stated) return ids;
    std::vector<std::string> known;
    for (const auto& id : stated->value) {
        if (catalogue.find(id.value)) {
            ids.push_back(id.value);
        } else {
            if (known.empty()) known = catalogue.ids();
            list_unknown_id(table.errors(), "protector", id, known, "the catalogue is empty");
        }
    }
    return ids;
}

std::vector<std::string> read_wears(TableReader& table, const Catalogue& catalogue) {
    std::vector<std::string> wears = read_protector_ids(table, "wears", catalogue);
    table.attempt([&] {
        if (lost_any(table.errors(), wears)) return;
        if (const auto obstacle = cannot_be_worn_together(catalogue, wears))
            table.refuse("wears", "names " + *obstacle);
    });
    return wears;
}

Wearing read_wearing(TableReader& table) {
    Wearing wearing;
    if (const auto worn = table.number("worn", fraction_range)) {
        wearing.fraction_of_time = worn->value;
    }
    if (const auto fit = table.text("fit", "\"as-rated\" or \"poor\"")) {
        if (fit->value != "as-rated" && fit->value != "poor") {
            table.report("fit",
                         fmt::format("is \"{}\"; accepted: \"as-rated\" or \"poor\"", fit->value));
        }
        wearing.poor_fit = fit->value == "poor";
    }
    return wearing;
}

double read_worn_uncertainty(TableReader& table) {
    const auto stated = table.number("worn_uncertainty", worn_uncertainty_range);
    return stated ? stated->value : 0.0;
}

}  // namespace earbudget::files
