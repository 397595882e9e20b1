// The same bytes in every locale and time zone: numbers have points, also where people write
// commas.
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

const std::string root = EARBUDGET_SOURCE_DIR;

using Words = std::vector<std::string>;

/// Runs a program from the root of the source with these settings of its environment.
Outcome run_with(const Words& settings, const Words& command) {
    Words words = settings;
    words.insert(words.end(), command.begin(), command.end());
    return run_other("env", words, root);
}

/// A folder with a locale whose decimal sign is a comma; made here, none need be installed.
class GermanLocale {
  public:
    GermanLocale() {
        const Outcome made =
            run_other("localedef", {"-i", "de_DE", "-f", "UTF-8", folder_.path("de_DE.UTF-8")});
        CAPTURE(made.errors);
        REQUIRE(made.status == 0);  // Debian: locales
        const Words shell = {"bash", "-c", "printf '%.1f' 1,5"};
        REQUIRE(run_with(settings(), shell).output == "1,5");
    }

    [[nodiscard]] Words settings() const {
        return {"LOCPATH=" + folder_.path(""), "LC_ALL=de_DE.UTF-8", "LANG=de_DE.UTF-8"};
    }

  private:
    TemporaryFolder folder_;
};

}  // namespace

TEST_CASE("the same output in a locale with decimal commas and in other time zones") {
    const GermanLocale german;
    const TemporaryFolder folder;
    const std::vector<Words> commands = {
        {"assess", "sequences/saltmarsh/plan.toml", "--working"},
        {"choose", "sequences/saltmarsh/plan.toml"},
        {"ratings", "sequences/saltmarsh/protectors.toml"},
        {"review", "sequences/saltmarsh/cards/epi-2mm.toml", "--protectors",
         "sequences/saltmarsh/protectors.toml", "--derating", "2.5"},
        {"measure", "recordings/localiser.flac", "--full-scale-level", "130.5", "--from", "0.5",
         "--force", "--card", folder.path("card.toml"), "--history", folder.path("history.csv")}};
    for (const Words& command : commands) {
        for (const std::string format : {"text", "json"}) {
            Words words = {EARBUDGET_PROGRAM};
            words.insert(words.end(), command.begin(), command.end());
            words.insert(words.end(), {"--date", "2026-02-28", "--format", format});
            CAPTURE(command.front());
            CAPTURE(format);
            const bool measures = command.front() == "measure";
            const auto written = [&](const std::string& name) {
                return measures ? content_of(folder.path(name)) : std::string();
            };
            const Outcome plain = run_with({"LC_ALL=C", "TZ=UTC0"}, words);
            CHECK(plain.status < 2);
            CHECK(plain.output.size() > 500);
            const std::string card = written("card.toml");
            const std::string history = written("history.csv");
            Words settings = german.settings();
            for (const std::string zone : {"TZ=Pacific/Kiritimati", "TZ=EST5EDT"}) {
                settings.push_back(zone);
                const Outcome other = run_with(settings, words);
                CHECK(other.status == plain.status);
                CHECK(other.output == plain.output);
                CHECK(other.errors == plain.errors);
                CHECK(written("card.toml") == card);
                CHECK(written("history.csv") == history);
            }
        }
    }
}
