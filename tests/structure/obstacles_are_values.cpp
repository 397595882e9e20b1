// What stands in the way of a day is a value (study/result.hpp): nothing between the readers and
// the command line decides anything by catching it.
#include <filesystem>
#include <string>

#include <doctest/doctest.h>

#include "support/temporary_folder.hpp"

using namespace earbudget::test;

TEST_CASE("no obstacle of the input is caught between files and the command line") {
    int sources = 0;
    for (const char* top : {"src", "include/earbudget"}) {
        for (const char* room :
             {"computing", "acoustics", "protection", "exposure", "study", "day", "uncertainty",
              "limits", "choice", "review", "advice", "working"}) {
            const auto folder = std::filesystem::path(EARBUDGET_SOURCE_DIR) / top / room;
            if (!std::filesystem::exists(folder)) continue;
            for (const auto& entry : std::filesystem::directory_iterator(folder)) {
                CAPTURE(entry.path().string());
                const std::string text = content_of(entry.path().string());
                CHECK(text.find("catch (const InputError") == std::string::npos);
                CHECK(text.find("catch (const Obstacle") == std::string::npos);
                ++sources;
            }
        }
    }
    CHECK(sources > 100);
}
