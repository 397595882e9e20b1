// A new study whose timeline is that of scans that exist, as its users make it.
#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "bids/dataset.hpp"
#include "support/holds.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

/// A subject whose last scan tells nothing of its duration.
void write_dataset(const TemporaryFolder& folder) {
    const auto write = [&](const std::string& name, const std::string& content) {
        static_cast<void>(folder.write("ds/" + name, content));
    };
    write("task-rest_bold.json", R"({"RepetitionTime": 2.5})");
    write("sub-01/func/sub-01_task-rest_bold.nii.gz", gzipped(nifti_1(240)));
    write("sub-01/anat/sub-01_T1w.nii", nifti_1(1));
    write("sub-01/anat/sub-01_T1w.json", R"({"RepetitionTime": 2.3})");
    write("sub-01/anat/sub-01_T2w.nii", nifti_1(1));
    write("sub-01/sub-01_scans.tsv",
          "filename\tacq_time\n"
          "anat/sub-01_T1w.nii\t1850-01-01T10:00:00\n"
          "func/sub-01_task-rest_bold.nii.gz\t1850-01-01T10:06:00\n"
          "anat/sub-01_T2w.nii\t1850-01-01T10:20:00\n");
}

nlohmann::json assessed(const TemporaryFolder& folder, const std::string& study) {
    const Outcome outcome =
        run_program({"assess", study + "/plan.toml", "--format", "json"}, folder.path(""));
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return nlohmann::json::parse(outcome.output);
}

bool warns(const nlohmann::json& answer, const std::string& code) {
    return std::ranges::any_of(answer["warnings"],
                               [&](const auto& warning) { return warning["code"] == code; });
}

double seconds_of(const nlohmann::json& answer, const std::string& sequence) {
    double seconds = 0.0;
    for (const auto& segment : answer["people"][0]["segments"])
        if (segment["sequence"] == sequence) seconds += segment["seconds"].get<double>();
    return seconds;
}

}  // namespace

TEST_CASE("a dataset becomes a study that answers at once and says what is missing") {
    const TemporaryFolder folder;
    write_dataset(folder);
    const Outcome made = run_program({"new", "study", "--bids", "ds"}, folder.path(""));
    CAPTURE(made.errors);
    CHECK(made.status == 0);
    CHECK(holds(made.output, "a lower bound"));
    CHECK(holds(made.output, "missing: no duration of sub-01_T2w is known"));
    CHECK(holds(made.output, "not matched: sub-01_task-rest_bold"));
    const std::string plan = content_of(folder.path("study/plan.toml"));
    CHECK(holds(plan, "240 volumes, RepetitionTime 2.5 s each\nduration_from = \"volumes\""));
    CHECK(holds(plan, "duration_from = \"next-start\""));
    CHECK(holds(plan, "# From scans that exist, ds, sub-01."));
    const nlohmann::json answer = assessed(folder, "study");
    CHECK(seconds_of(answer, "T1w") == 360.0);
    CHECK(seconds_of(answer, "task-rest_bold") == 600.0);
    CHECK(warns(answer, "timeline-from-scans"));
    CHECK(warns(answer, "duration-at-most"));
    CHECK(!answer["examples"].empty());
    // The four minutes between the run's end and the next start.
    CHECK(holds(plan, "rest = \"4 min\""));
}

TEST_CASE("[match] says which runs are of which card, and durations that the scans do not tell") {
    const TemporaryFolder folder;
    write_dataset(folder);
    static_cast<void>(folder.write(
        "site.toml",
        "kind = \"site\"\nformat = 1\n[match]\n\"*task-rest*bold*\" = \"epi\"\n"
        "\"*T?w*\" = { sequence = \"anatomy\", duration = \"5 min\" }\n\"*\" = \"other\"\n"));
    const Outcome made = run_program(
        {"new", "study", "--bids", "ds/sub-01", "--match", "site.toml"}, folder.path(""));
    CAPTURE(made.errors);
    CHECK(made.status == 0);
    CHECK(!holds(made.output, "missing: "));
    CHECK(!holds(made.output, "not matched"));
    CHECK(holds(made.output, "\"epi\" of [match] stands in no table"));
    const nlohmann::json answer = assessed(folder, "study");
    CHECK(seconds_of(answer, "anatomy") == 600.0);
    CHECK(seconds_of(answer, "epi") == 600.0);
    CHECK(!warns(answer, "duration-at-most"));
    // What was written fits the next dataset.
    const Outcome again = run_program(
        {"new", "again", "--bids", "ds", "--match", "study/site.toml"}, folder.path(""));
    CAPTURE(again.errors);
    CHECK(again.status == 0);
    CHECK(seconds_of(assessed(folder, "again"), "anatomy") == 600.0);
}

TEST_CASE("what is wrong with a dataset is listed, all of it, and nothing is written") {
    const TemporaryFolder folder;
    write_dataset(folder);
    static_cast<void>(folder.write("ds/sub-01/anat/sub-01_T1w.nii", "short"));
    static_cast<void>(folder.write("ds/task-rest_bold.json", "{"));
    static_cast<void>(
        folder.write("site.toml", "kind = \"site\"\nformat = 1\n[match]\n\"*\" = 4\n"));
    const Outcome made =
        run_program({"new", "study", "--bids", "ds", "--match", "site.toml"}, folder.path(""));
    CHECK(made.status == 2);
    CHECK(made.output.empty());
    CHECK(lines_of(made.errors) == 3);
    CHECK(holds(made.errors, "ds/sub-01/anat/sub-01_T1w.nii:1:1: it ends after 5 bytes"));
    CHECK(holds(made.errors, "ds/task-rest_bold.json:1:2: this is not JSON"));
    CHECK(holds(made.errors, "site.toml:4:7: \"*\" is a number"));
    CHECK(!std::filesystem::exists(folder.path("study")));
    CHECK(run_program({"new", "study", "--match", "site.toml"}, folder.path("")).status == 2);
    CHECK(run_program({"new", "study", "--bids", "."}, folder.path("site.toml")).status != 0);
    const Outcome none = run_program({"new", "study", "--bids", "sd"}, folder.path(""));
    CHECK(none.status == 2);
    CHECK(holds(none.errors, "no such folder, the nearest there is \"ds\""));
}

TEST_CASE("DICOM comes by dcm2niix, with its images or by its sidecars alone") {
    const TemporaryFolder folder;
    if (run_other("dcm2niix", {"--version"}).status == 127) {
        MESSAGE("dcm2niix is not installed");
        return;
    }
    const std::string script =
        std::string(EARBUDGET_SOURCE_DIR) + "/tests/end_to_end/write_dicom.py";
    REQUIRE(run_other("python3", {"-B", script, folder.path("dicom")}).status == 0);
    for (const std::string what : {"y", "o"}) {
        CAPTURE(what);
        const std::string out = folder.path("out-" + what);
        std::filesystem::create_directory(out);
        const Outcome converted = run_other(
            "dcm2niix", {"-b", what, "-z", "y", "-f", "%s_%p", "-o", out, folder.path("dicom")});
        CAPTURE(converted.output);
        REQUIRE(converted.status == 0);
        const std::string study = "study-" + what;
        const Outcome made = run_program({"new", study, "--bids", out}, folder.path(""));
        CAPTURE(made.errors);
        REQUIRE(made.status == 0);
        const nlohmann::json answer = assessed(folder, study);
        // Five volumes of two seconds; without the image until the next start.
        CHECK(seconds_of(answer, "epi") == (what == "y" ? 10.0 : 59.9));
        CHECK(seconds_of(answer, "anatomy") == 312.5);
    }
}
