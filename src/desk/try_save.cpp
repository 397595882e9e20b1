#include <filesystem>

#include <fmt/format.h>

#include "desk/try_page.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/ids.hpp"
#include "files/open_file.hpp"
#include "files/output.hpp"

namespace earbudget::desk::trying {

namespace {

namespace fs = std::filesystem;

/// A name without a folder, which therefore lies beside the plan, where all that the plan names is
/// found as before.
std::string checked_name(const std::string& name) {
    constexpr std::size_t longest = 100;
    const auto refuse = [&](std::string_view why) {
        throw InputError({"new file"},
                         fmt::format("\"{}\" {}; accepted: a name without a folder that ends in "
                                     ".toml, such as plan-2.toml",
                                     name, why));
    };
    if (name.empty()) refuse("is no name");
    if (name.size() > longest) refuse("is too long");
    if (name.find_first_of("/\\") != name.npos) refuse("names a folder");
    if (name.starts_with('.')) refuse("begins with a dot");
    if (fs::path(name).extension() != ".toml") refuse("does not end in .toml");
    if (const auto why = files::why_no_id(name)) refuse("is no name" + *why);
    return name;
}

/// Only of the same bytes as those that the changes were made of.
void check_unchanged(const PlanFile& file) {
    files::TextInputs inputs;
    const std::string& path = file.listed.path;
    static_cast<void>(inputs.text(path, {path}));
    if (inputs.sha256(path) == file.sha256) return;
    throw InputError({path},
                     "somebody else changed the file meanwhile; accepted: the page opened anew, "
                     "or a new file");
}

}  // namespace

std::string save_as(const PlanFile& file, const std::string& text, const std::string& name) {
    const fs::path place = fs::path(file.listed.path).parent_path() / checked_name(name);
    files::check_can_write(place.string(), false);
    files::OutputFiles output({{place.string(), text}}, false);
    output.move_to_places();
    return (fs::path(file.listed.name).parent_path() / name).generic_string();
}

void save_into(const PlanFile& file, const std::string& text) {
    check_unchanged(file);
    files::check_can_write(file.listed.path, true);
    files::OutputFiles output({{file.listed.path, text}}, true);
    // Once more, since storing took its time.
    check_unchanged(file);
    output.move_to_places();
}

}  // namespace earbudget::desk::trying
