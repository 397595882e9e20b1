// Reports on a register, and past sessions that are brought into one.
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/holds.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string plan_file = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/plan.toml";

/// A register with what a table tells.
class ImportedRegister {
  public:
    ImportedRegister() {
        REQUIRE(run({"create", path(), "--time-zone", "Europe/Berlin"}).status == 0);
        const std::string table =
            folder_.write("past.csv",
                          "as;date;time;sequence;duration (min);wears;person\n"
                          "P-0417;2026-11-02;09:00;epi-2mm;12;;pilot-a\n"
                          "P-0417;2026-11-02;09:20;diffusion;8,5;;pilot-a\n"
                          "P-0418;2026-11-03;09:00;epi-2mm;60;nothing;pilot-b\n"
                          "S-0001;2026-11-03;09:00;epi-2mm;60;;operator\n");
        const Outcome outcome =
            run({"import", path(), "--table", table, "--plan", plan_file, "--by", "S-0001"});
        CAPTURE(outcome.errors);
        REQUIRE(outcome.status == 0);
    }
    [[nodiscard]] std::string path() const { return folder_.path("unit.register"); }
    [[nodiscard]] const TemporaryFolder& folder() const { return folder_; }

    [[nodiscard]] static Outcome run(std::vector<std::string> words) {
        words.insert(words.begin(), "register");
        return run_program(words);
    }
    [[nodiscard]] json report(std::vector<std::string> words) const {
        words.insert(words.begin(), {"report", path()});
        words.insert(words.end(), {"--format", "json"});
        const Outcome outcome = run(words);
        CAPTURE(outcome.errors);
        REQUIRE(outcome.status <= 1);
        return json::parse(outcome.output);
    }

  private:
    TemporaryFolder folder_;
};

}  // namespace

TEST_CASE("one person's record has every session with its plan, and each figure its entries") {
    const ImportedRegister kept;
    const json record = kept.report({"--as", "P-0417"});
    CHECK(record["of"] == "person");
    REQUIRE(record["sessions"].size() == 1);
    const json& session = record["sessions"][0];
    CHECK(session["runs"] == 2);
    CHECK(session["person"] == "pilot-a");
    CHECK(session["begins"] == "2026-11-02T09:00:00+01:00");
    CHECK(session["plan"]["sha256"].get<std::string>().size() == 64);
    REQUIRE(record["people"].size() == 1);
    const json& person = record["people"][0];
    REQUIRE(person["days"].size() == 1);
    const std::set<std::int64_t> of_session = session["entries"];
    for (const std::int64_t n : person["days"][0]["entries"].get<std::vector<std::int64_t>>())
        CHECK(of_session.contains(n));
    bool any_card = false;
    for (const json& file : person["files"])
        any_card = any_card || file["file"].get<std::string>().ends_with("cards/epi-2mm.toml");
    CHECK(any_card);
    CHECK(!record["records"].empty());
    CHECK(ImportedRegister::run({"report", kept.path(), "--as", "P-9"}).status == 2);
}

TEST_CASE("a study's report counts its days once, and tells who came close") {
    const ImportedRegister kept;
    const json study = kept.report({"--study", "Harbour pilots' night vision"});
    CHECK(study["people"].size() == 2);  // staff is none of its participants
    CHECK(study["verdict"] == "over");
    std::size_t binned = 0, by_verdict = 0;
    for (const json& bin : study["left"])
        binned += bin["days"].get<std::size_t>();
    for (const auto& [verdict, days] : study["days"].items())
        by_verdict += days.get<std::size_t>();
    CHECK(binned == 2);
    CHECK(by_verdict == 2);
    REQUIRE(!study["came_close"].empty());
    CHECK(study["came_close"][0]["as"] == "P-0418");
    double least = 1e9, most = -1e9;
    for (const json& person : study["people"]) {
        double tightest = 1e9;
        for (const json& criterion : person["days"][0]["criteria"]) {
            const bool counts = criterion["decides"] == true && criterion["margin_dB"].is_number();
            if (counts && criterion["by_bound"] == false)
                tightest = std::min(tightest, criterion["margin_dB"].get<double>());
        }
        least = std::min(least, tightest);
        most = std::max(most, tightest);
    }
    CHECK(near(study["median_left_dB"], least, 1e-9, Because::Arithmetic));  // the lower of two
    CHECK(study["left"][0]["from_dB"] <= least);
    CHECK(study["left"][study["left"].size() - 1]["to_dB"] > most);
    const Outcome page = ImportedRegister::run(
        {"report", kept.path(), "--study", "Harbour pilots' night vision", "--format", "html"});
    CHECK(holds(page.output, "Distribution of what was left"));
    const Outcome none = ImportedRegister::run({"report", kept.path(), "--study", "Another"});
    CHECK(none.status == 2);
    CHECK(holds(none.errors, "Harbour pilots"));
}

TEST_CASE("a month of staff has staff alone, with days above action values") {
    const ImportedRegister kept;
    const json month = kept.report({"--staff-month", "2026-11"});
    REQUIRE(month["people"].size() == 1);
    CHECK(month["people"][0]["as"] == "S-0001");
    const Outcome page = ImportedRegister::run(
        {"report", kept.path(), "--staff-month", "2026-11", "--format", "html"});
    CHECK(holds(page.output, "Staff in 2026-11"));
    CHECK(holds(page.output, month["register"]["head"].get<std::string>()));
    CHECK(kept.report({"--staff-month", "2026-10"})["people"].empty());
    for (const std::vector<std::string>& wrong : {std::vector<std::string>{},
                                                  {"--staff-month", "2026-13"},
                                                  {"--as", "P-0417", "--study", "x"},
                                                  {"--study", "x", "--from", "2026-11-01"}}) {
        std::vector<std::string> words = {"report", kept.path()};
        words.insert(words.end(), wrong.begin(), wrong.end());
        CHECK(ImportedRegister::run(words).status == 2);
    }
}

TEST_CASE("scans that were kept are brought in as a lower bound, and every answer says so") {
    const ImportedRegister kept;
    const TemporaryFolder& folder = kept.folder();
    const auto write = [&](const std::string& name, const std::string& content) {
        static_cast<void>(folder.write(name, content));
    };
    write("ds/sub-01/func/sub-01_task-rest_bold.json", R"({"AcquisitionDuration": 360})");
    write("ds/sub-01/anat/sub-01_T1w.json", R"({"AcquisitionDuration": 300})");
    write("ds/sub-01/sub-01_scans.tsv",
          "filename\tacq_time\n"
          "anat/sub-01_T1w.nii\t1850-01-01T10:00:00\n"
          "func/sub-01_task-rest_bold.nii.gz\t1850-01-01T10:06:00\n");
    const std::string site = folder.write("site.toml",
                                          "kind = \"site\"\nformat = 1\n[match]\n"
                                          "\"*_bold\" = \"epi-2mm\"\n\"*T1w\" = \"gre-3d\"\n");
    std::vector<std::string> words = {"import",   kept.path(), "--bids", folder.path("ds/sub-01"),
                                      "--match",  site,        "--plan", plan_file,
                                      "--person", "pilot-a"};
    const Outcome refused = ImportedRegister::run(words);
    CHECK(refused.status == 2);
    CHECK(holds(refused.errors, "--as"));
    CHECK(holds(refused.errors, "--at"));
    words.insert(words.end(), {"--as", "P-0500", "--at", "2026-11-05T10:00:00+01:00"});
    const Outcome imported = ImportedRegister::run(words);
    CAPTURE(imported.errors);
    REQUIRE(imported.status == 0);
    CHECK(holds(imported.output, "a lower bound"));
    const Outcome totals =
        ImportedRegister::run({"totals", kept.path(), "--as", "P-0500", "--format", "json"});
    const json told = json::parse(totals.output);
    CHECK(told["lower_bound"] == true);
    const json& day = told["people"][0]["days"][0];
    CHECK(day["lower_bound"] == true);
    CHECK(day["seconds"] == 660.0);
    CHECK(day["date"] == "2026-11-05");
    CHECK(holds(run_short({"register", "totals", kept.path(), "--as", "P-0500"}).output,
                "A lower bound"));
    const json record = kept.report({"--as", "P-0500"});
    CHECK(record["sessions"][0]["lower_bound"] == true);
    // The same once more is at a time that is taken, and leaves the register as it was.
    const Outcome again = ImportedRegister::run(words);
    CHECK(again.status == 2);
    CHECK(holds(again.errors, "tells already"));
}
