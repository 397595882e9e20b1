// A plan that changes while reports are made of it: each says the hash of what it was made of.
#include <filesystem>
#include <map>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "files/open_file.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// A process that puts one of two files in the place of a third, again and again.
class Changing {
  public:
    Changing(const std::string& one, const std::string& other, const std::string& place)
        : child_(::fork()) {
        if (child_ != 0) return;
        for (bool first = true;; first = !first) {
            const std::string draft = place + ".draft";
            std::error_code ignored;
            std::filesystem::create_hard_link(first ? one : other, draft, ignored);
            std::filesystem::rename(draft, place, ignored);
            // Two links to one file are not renamed.
            std::filesystem::remove(draft, ignored);
            ::usleep(200);
        }
    }
    Changing(const Changing&) = delete;
    Changing& operator=(const Changing&) = delete;
    ~Changing() {
        ::kill(child_, SIGKILL);
        ::waitpid(child_, nullptr, 0);
    }

  private:
    pid_t child_;
};

}  // namespace

TEST_CASE("under a plan that changes all the time the hash is that of the plan that was computed") {
    const StudyText text;
    const StudyFolder study;
    const std::string other = with(text.plan, "\"8 min\"", "\"16 min\"");
    const std::string one_path = study.folder().write("one", text.plan);
    const std::string other_path = study.folder().write("other", other);
    const std::map<std::string, double> seconds_by_hash = {
        {files::sha256_of_text(text.plan), 2 * 480.0 + 120.0},
        {files::sha256_of_text(other), 2 * 960.0 + 120.0}};
    std::map<std::string, unsigned> met;
    {
        const Changing changing(one_path, other_path, study.folder().path("plan.toml"));
        for (int run = 0; run < 100; ++run) {
            const Outcome outcome =
                run_program({"assess", "plan.toml", "--against", "plan.toml", "--format", "json"},
                            study.root());
            CAPTURE(outcome.errors);
            REQUIRE(outcome.status <= 1);
            const auto report = nlohmann::json::parse(outcome.output);
            const std::string hash = report["inputs"][0]["sha256"];
            REQUIRE(seconds_by_hash.contains(hash));
            CHECK(report["people"][0]["exposure"]["seconds"] == seconds_by_hash.at(hash));
            CHECK(report["inputs"][0]["file"] == "plan.toml");
            ++met[hash];
        }
    }
    CHECK(met.size() == 2);
}
