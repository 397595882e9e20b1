#include "records/register_import.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace earbudget::records {

std::string unknown_code(std::string_view code) {
    return fmt::format(
        "\"{}\" is no code that it knows; accepted: a code under which something is "
        "recorded and was not erased",
        code);
}

bool is_lower_bound(const registers::Entry& entry) {
    if (entry.kind != registers::EntryKind::Import) return false;
    const auto body = nlohmann::json::parse(entry.body, nullptr, false);
    return body.is_object() && body.value("lower_bound", false);
}

}  // namespace earbudget::records
