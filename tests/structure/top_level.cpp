// What may stand at the top of the tree; a newcomer sees the whole house from there.
#include <filesystem>
#include <set>
#include <string>

#include <doctest/doctest.h>

TEST_CASE("the top level holds what the layout names and nothing else") {
    const std::set<std::string> permitted = {
        "CMakeLists.txt", "CMakePresets.json", "DEVELOPERS.md", "LICENSE", "README.md", "docs",
        "include",        "recordings",        "sequences",     "src",     "tests"};
    std::set<std::string> found;
    for (const auto& entry : std::filesystem::directory_iterator(EARBUDGET_SOURCE_DIR)) {
        const std::string name = entry.path().filename().string();
        // Build folders and dot-files are not part of what is kept, or are named by tools.
        if (name.starts_with('.') || name.starts_with("build")) continue;
        CAPTURE(name);
        CHECK(permitted.contains(name));
        found.insert(name);
    }
    CHECK(found == permitted);
}
