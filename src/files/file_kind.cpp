#include "files/file_kind.hpp"

#include <fmt/format.h>

namespace earbudget::files {

void check_kind(TableReader& file, std::string_view kind) {
    const auto stated = file.require_text("kind");
    if (stated.value != kind) {
        file.refuse("kind", fmt::format("is \"{}\"; accepted here: \"{}\"", stated.value, kind));
    }
    if (!file.has("format")) {
        throw InputError(file.position(), "the file has no \"format\"; accepted: format = 1");
    }
    static_cast<void>(file.count("format", 1, 1));
}

}  // namespace earbudget::files
