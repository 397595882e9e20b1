// A new study whose timeline is that of scans that exist, as its users make it.
#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "bids/dataset.hpp"
#include "files/study_files.hpp"
#include "support/holds.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
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

namespace {

/// Two people, one with three sessions of which the last differs, one with a session like the
/// first; sidecars hold what made the scans, and what tells the scanner from all others.
void write_sessions(const TemporaryFolder& folder) {
    const auto write = [&](const std::string& name, const std::string& content) {
        static_cast<void>(folder.write("ds/" + name, content));
    };
    write("task-rest_bold.json",
          R"({"RepetitionTime": 2, "ManufacturersModelName": "Invented 3 T",
              "SoftwareVersions": ["release 7", "patch 2"], "ReceiveCoilName": " head \"32\"\n",
              "DeviceSerialNumber": "SERIAL-4711", "StationName": "STATION-12"})");
    const auto session = [&](const std::string& sub, const std::string& ses, const std::string& day,
                             int volumes, const std::string& task) {
        const std::string in = sub + "/" + ses + "/", stem = sub + "_" + ses + "_";
        write(in + "func/" + stem + "task-" + task + "_bold.nii", nifti_1(volumes));
        write(in + stem + "scans.tsv", "filename\tacq_time\nfunc/" + stem + "task-" + task +
                                           "_bold.nii\t" + day + "T10:00:00\n");
    };
    session("sub-01", "ses-1", "1900-01-01", 100, "rest");
    session("sub-01", "ses-2", "1900-01-08", 100, "rest");
    session("sub-01", "ses-3", "1900-02-05", 50, "go");
    session("sub-02", "ses-1", "1910-01-01", 100, "rest");
    write("task-go_bold.json",
          R"({"RepetitionTime": 2, "ManufacturersModelName": "Invented 7 T"})");
    write("sub-01/ses-3/func/sub-01_ses-3_task-go_run-2_bold.json",
          R"({"RepetitionTime": 2, "AcquisitionDuration": 60,
              "ManufacturersModelName": "Invented 3 T"})");
}

nlohmann::json started(const TemporaryFolder& folder, std::vector<std::string> more) {
    more.insert(more.begin(), {"new", "study"});
    more.insert(more.end(), {"--format", "json"});
    const Outcome made = run_program(more, folder.path(""));
    CAPTURE(made.errors);
    REQUIRE(made.status == 0);
    return nlohmann::json::parse(made.output);
}

}  // namespace

TEST_CASE(
    "a plan for each session that differs, one for those alike, and a study of who came often") {
    const TemporaryFolder folder;
    write_sessions(folder);
    const nlohmann::json made = started(folder, {"--bids", "ds"});
    REQUIRE(made["plans"].size() == 2);
    CHECK(made["plans"][0]["file"] == "plan.toml");
    CHECK(made["plans"][0]["sessions"] ==
          std::vector<std::string>{"sub-01/ses-1", "sub-01/ses-2", "sub-02/ses-1"});
    CHECK(made["plans"][1]["file"] == "plan-sub-01-ses-3.toml");
    CHECK(made["plans"][1]["sessions"] == std::vector<std::string>{"sub-01/ses-3"});
    REQUIRE(made["studies"].size() == 1);
    CHECK(made["studies"][0]["participants"] == std::vector<std::string>{"sub-01"});
    const nlohmann::json visits = made["studies"][0]["visits"];
    REQUIRE(visits.size() == 3);
    CHECK(visits[1]["plan"] == "plan.toml");
    CHECK(visits[1]["days_apart"] == 7);
    CHECK(visits[2]["plan"] == "plan-sub-01-ses-3.toml");
    CHECK(visits[2]["days_apart"] == 28);
    // Every run that nothing matches is listed, with its session.
    REQUIRE(made["not_matched"].size() == 5);
    CHECK(made["not_matched"][2]["session"] == "sub-01/ses-3");
    const Outcome all = run_program({"assess", "study", "--format", "json"}, folder.path(""));
    CAPTURE(all.errors);
    REQUIRE(all.status <= 1);
    const auto answer = nlohmann::json::parse(all.output);
    CHECK(answer["plans"].size() == 3);
    const Outcome visits_of = run_program({"assess", "study/study.toml"}, folder.path(""));
    CAPTURE(visits_of.errors);
    CHECK(visits_of.status <= 1);
    CHECK(seconds_of(assessed(folder, "study"), "task-rest_bold") == 200.0);
}

TEST_CASE("sessions of one day are one plan, and shifted dates say nothing of days between") {
    const TemporaryFolder folder;
    write_sessions(folder);
    for (const std::string ses : {"1", "2"})
        static_cast<void>(folder.write("ds/sub-01/ses-" + ses + "/sub-01_ses-" + ses + "_scans.tsv",
                                       "filename\tacq_time\nfunc/sub-01_ses-" + ses +
                                           "_task-rest_bold.nii\t1900-01-01T1" + ses + ":00:00\n"));
    static_cast<void>(folder.write(
        "ds/sub-01/ses-3/sub-01_ses-3_scans.tsv",
        "filename\tacq_time\nfunc/sub-01_ses-3_task-go_bold.nii\t1850-01-01T10:00:00\n"));
    const nlohmann::json made = started(folder, {"--bids", "ds"});
    REQUIRE(made["plans"].size() == 3);
    CHECK(made["plans"][0]["sessions"] == std::vector<std::string>{"sub-01/ses-1", "sub-01/ses-2"});
    CHECK(seconds_of(assessed(folder, "study"), "task-rest_bold") == 400.0);
    const nlohmann::json visits = made["studies"][0]["visits"];
    REQUIRE(visits.size() == 2);
    CHECK(visits[1]["days_apart"].is_null());
    CHECK(std::ranges::any_of(made["invented"], [](const auto& value) {
        return value["file"] == "study.toml" && value["key"] == "visit[2].days_apart";
    }));
}

TEST_CASE("visits alike share a plan in which each run is as long as it ever was") {
    const TemporaryFolder folder;
    const auto write = [&](const std::string& sub, const std::string& next) {
        for (const std::string name : {"T1w", "T2w"})
            static_cast<void>(
                folder.write("ds/" + sub + "/anat/" + sub + "_" + name + ".nii", nifti_1(1)));
        static_cast<void>(folder.write("ds/" + sub + "/" + sub + "_scans.tsv",
                                       "filename\tacq_time\nanat/" + sub +
                                           "_T1w.nii\t1900-01-01T10:00:00\nanat/" + sub +
                                           "_T2w.nii\t1900-01-01T" + next + "\n"));
    };
    write("sub-01", "10:05:00");
    write("sub-02", "10:07:30");
    write("sub-03", "10:04:00");
    const nlohmann::json made = started(folder, {"--bids", "ds"});
    CHECK(made["plans"].size() == 1);
    CHECK(made["studies"].empty());
    CHECK(seconds_of(assessed(folder, "study"), "T1w") == 450.0);
    CHECK(holds(content_of(folder.path("study/plan.toml")), "# sub-02_T1w: at most"));
    REQUIRE(made["without_duration"].size() == 3);
    CHECK(made["without_duration"][1]["run"] == "sub-02_T2w");
}

TEST_CASE("cards say what made the scans, and nothing that tells one scanner from all others") {
    const TemporaryFolder folder;
    write_sessions(folder);
    const Outcome made = run_program({"new", "study", "--bids", "ds"}, folder.path(""));
    CAPTURE(made.errors);
    REQUIRE(made.status == 0);
    const auto card = files::read_sequence_card(folder.path("study/cards/task-rest_bold.toml"));
    CHECK(card.scanner == "Invented 3 T");
    CHECK(card.software == "release 7");
    CHECK(card.coil == "head \"32\"");
    // Of two scanners neither is stated.
    const auto other = files::read_sequence_card(folder.path("study/cards/task-go_bold.toml"));
    CHECK(other.scanner.empty());
    CHECK(holds(made.output,
                "the runs of \"task-go_bold\" were made with several scanners: "
                "Invented 3 T, Invented 7 T"));
    for (const auto& file : std::filesystem::recursive_directory_iterator(folder.path("study"))) {
        if (!file.is_regular_file()) continue;
        CHECK(!holds(content_of(file.path().string()), "SERIAL-4711"));
        CHECK(!holds(content_of(file.path().string()), "STATION-12"));
    }
}

TEST_CASE("what is invented is told as JSON with file and key, and all of it is what files mark") {
    const TemporaryFolder folder;
    write_dataset(folder);
    static_cast<void>(folder.write(
        "t.csv", "id,title,duration (min),LAeq,# remark\nT1w,K\xFCrzel,6,98,\nT2w,T2,,97,x\n"));
    const nlohmann::json made = started(folder, {"--bids", "ds", "--table", "t.csv"});
    CHECK(made["command"] == "new");
    CHECK(made["not_matched"].size() == 1);
    CHECK(made["without_duration"].size() == 1);
    CHECK(holds(made["not_understood"].dump(), "Windows-1252"));
    CHECK(holds(made["not_understood"].dump(), "remark"));
    const auto value_of = [&](const std::string& file, const std::string& key) -> std::string {
        for (const auto& value : made["invented"])
            if (value["file"] == file && value["key"] == key) return value["value"];
        return "";
    };
    CHECK(value_of("site.toml", "background.LAeq") == "66.0");
    CHECK(value_of("site.toml", "position[1].background.LAeq") == "45.0");
    CHECK(value_of("cards/task-rest_bold.toml", "levels.LAeq") == "104.6");
    CHECK(value_of("plan.toml", "timeline[4].duration") == "\"5 min\"");
    // Those of the table are nobody's invention.
    CHECK(value_of("cards/T1w.toml", "levels.LAeq").empty());
    CHECK(value_of("plan.toml", "timeline[1].duration").empty());
    std::size_t marked = 0;
    for (const auto& file : made["written"]) {
        const std::string text =
            content_of(folder.path("study/" + file["file"].get<std::string>()));
        for (std::size_t at = text.find("invented: put yours here"); at != text.npos;
             at = text.find("invented: put yours here", at + 1))
            ++marked;
    }
    std::size_t told = 0;
    for (const auto& value : made["invented"]) {
        const std::string text =
            content_of(folder.path("study/" + value["file"].get<std::string>()));
        std::size_t begin = 0;
        for (int line = value["line"]; line > 1; --line)
            begin = text.find('\n', begin) + 1;
        const std::string line = text.substr(begin, text.find('\n', begin) - begin);
        CHECK(holds(line, value["value"].get<std::string>()));
        told += line.ends_with("invented: put yours here");
    }
    CHECK(marked > 10);
    CHECK(told == marked);
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
