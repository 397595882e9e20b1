// Files that are written together, where what goes wrong shows only when they are moved.
#include "files/output.hpp"

#include <filesystem>
#include <new>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/study/input_error.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

std::size_t files_in(const TemporaryFolder& folder) {
    std::size_t files = 0;
    for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder.path("")))
        ++files;
    return files;
}

}  // namespace

// As on a file system that takes names for one that differ in small and capital letters.
TEST_CASE("two drafts that come to one place are both taken back, with what was replaced before") {
    for (const bool is_there : {false, true}) {
        const TemporaryFolder folder;
        const std::string first = folder.path("first");
        const std::string twice = folder.path("twice");
        if (is_there) {
            static_cast<void>(folder.write("first", "old first"));
            static_cast<void>(folder.write("twice", "old twice"));
        }
        {
            files::OutputFiles files({{first, "1"}, {twice, "2"}, {twice, "3"}}, true);
            CHECK_THROWS_AS(files.move_to_places(), InputError);
        }
        CHECK(files_in(folder) == (is_there ? 2 : 0));
        if (!is_there) continue;
        CHECK(content_of(first) == "old first");
        CHECK(content_of(twice) == "old twice");
    }
}

TEST_CASE("a file that comes to a place before the draft is not replaced without force") {
    const TemporaryFolder folder;
    files::OutputFiles files({{folder.path("a"), "1"}, {folder.path("b"), "2"}}, false);
    static_cast<void>(folder.write("b", "somebody's"));
    CHECK_THROWS_AS(files.move_to_places(), InputError);
    CHECK(!std::filesystem::exists(folder.path("a")));
    CHECK(content_of(folder.path("b")) == "somebody's");
}

TEST_CASE("what comes to a place meanwhile and is no file is not replaced with force either") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("a", "old"));
    files::OutputFiles files({{folder.path("a"), "1"}, {folder.path("b"), "2"}}, true);
    std::filesystem::create_symlink("elsewhere", folder.path("b"));
    CHECK_THROWS_AS(files.move_to_places(), InputError);
    CHECK(content_of(folder.path("a")) == "old");
    CHECK(std::filesystem::is_symlink(folder.path("b")));
}

TEST_CASE("nothing is left of drafts that nobody moves") {
    const TemporaryFolder folder;
    { const files::OutputFiles files({{folder.path("a"), "1"}, {folder.path("b"), "2"}}, true); }
    CHECK(files_in(folder) == 0);
}

TEST_CASE("while drafts live a failing allocation is an exception, and after them what it was") {
    const TemporaryFolder folder;
    const std::new_handler own = [] { throw std::bad_alloc(); };
    const std::new_handler before = std::set_new_handler(own);
    {
        const files::OutputFiles files({{folder.path("a"), "1"}}, true);
        const bool throws = std::get_new_handler() == nullptr;
        CHECK(throws);
    }
    const bool is_as_before = std::get_new_handler() == own;
    CHECK(is_as_before);
    std::set_new_handler(before);
}
