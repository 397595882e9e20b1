// Which files are which runs, in which order, and what is wrong with them.
#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "bids/dataset.hpp"
#include "bids/scan_files.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const std::string two_seconds = R"({"RepetitionTime": 2.0})";

/// Two runs of one task, an anatomical scan, and what lies beside them.
class Dataset {
  public:
    Dataset() {
        write("dataset_description.json", R"({"Name": "made", "BIDSVersion": "1.8.0"})");
        write("task-rest_bold.json", two_seconds);
        write("sub-01/ses-1/func/sub-01_ses-1_task-rest_run-1_bold.nii.gz", gzipped(nifti_1(100)));
        write("sub-01/ses-1/func/sub-01_ses-1_task-rest_run-2_bold.nii.gz", gzipped(nifti_1(50)));
        write("sub-01/ses-1/anat/sub-01_ses-1_T1w.nii", nifti_1(1));
        write("sub-01/ses-1/sub-01_ses-1_scans.tsv",
              "filename\tacq_time\r\n"
              "func/sub-01_ses-1_task-rest_run-1_bold.nii.gz\t1850-01-01T23:58:00.5\r\n"
              "anat/sub-01_ses-1_T1w.nii\t1850-01-01T23:50:00\r\n"
              "func/sub-01_ses-1_task-rest_run-2_bold.nii.gz\t1850-01-02T00:10:00\r\n");
    }

    void write(const std::string& name, const std::string& content) const {
        static_cast<void>(folder_.write(name, content));
    }
    [[nodiscard]] std::string path(const std::string& name = "") const {
        return folder_.path(name);
    }
    [[nodiscard]] ReadScans read(const std::string& name = "") const {
        return ReadScans(path(name));
    }

  private:
    TemporaryFolder folder_;
};

std::vector<std::string> names_of(const bids::Session& session) {
    std::vector<std::string> names;
    for (const bids::Run& run : session.runs)
        names.push_back(run.name);
    return names;
}

}  // namespace

TEST_CASE("runs are in the order of their starts, also over midnight and in shifted years") {
    const Dataset dataset;
    for (const char* name : {"", "sub-01", "sub-01/ses-1", "sub-01/ses-1/"}) {
        CAPTURE(name);
        const ReadScans read = dataset.read(name);
        CHECK(listed(read.mistakes) == "");
        REQUIRE(read.scans.sessions.size() == 1);
        const bids::Session& session = read.scans.sessions[0];
        CHECK(session.name == "sub-01/ses-1");
        CHECK(names_of(session) == std::vector<std::string>{"sub-01_ses-1_T1w",
                                                            "sub-01_ses-1_task-rest_run-1_bold",
                                                            "sub-01_ses-1_task-rest_run-2_bold"});
        CHECK(session.runs[1].kind == "task-rest_bold");
        CHECK(session.runs[0].duration->time == Seconds(480.5));
        CHECK(session.runs[0].duration->source == DurationSource::NextStart);
        CHECK(session.runs[1].duration->time == Seconds(200.0));
        CHECK(session.notes.empty());
    }
}

TEST_CASE("the nearer sidecar overrides, key by key") {
    const Dataset dataset;
    const std::string run_1 = "sub-01_ses-1_task-rest_run-1_bold";
    dataset.write("sub-01/ses-1/sub-01_ses-1_task-rest_bold.json",
                  R"({"NumberOfVolumesDiscardedByScanner": 5})");
    dataset.write("sub-01/ses-1/func/" + run_1 + ".json", R"({"RepetitionTime": 3.0})");
    const ReadScans read = dataset.read("sub-01/ses-1");
    CHECK(read.run(run_1).duration->time == Seconds(315.0));
    CHECK(read.run("sub-01_ses-1_task-rest_run-2_bold").duration->time == Seconds(110.0));
}

TEST_CASE("of two sidecars in one folder that both apply neither is nearer: both are named") {
    const Dataset dataset;
    dataset.write("bold.json", two_seconds);
    const ReadScans read = dataset.read();
    REQUIRE(read.mistakes.size() == 2);
    CHECK(read.mistakes[0].find("task-rest_bold.json") != std::string::npos);
    CHECK(read.mistakes[0].find("bold.json apply to sub-01_ses-1_task-rest_run-1_bold.nii.gz") !=
          std::string::npos);
    CHECK(read.mistakes[0].find("accepted: one of them") != std::string::npos);
}

TEST_CASE("echoes, parts and reconstructions of one run are one run, and so is a field map") {
    const Dataset dataset;
    const std::string stem = "sub-01/ses-1/func/sub-01_ses-1_task-go_";
    for (const std::string part : {"echo-1_part-mag", "echo-1_part-phase", "echo-2_part-mag"})
        dataset.write(stem + part + "_bold.nii", nifti_1(30));
    dataset.write("task-go_bold.json", two_seconds);
    for (const std::string part : {"magnitude1", "magnitude2", "phasediff"})
        dataset.write("sub-01/ses-1/fmap/sub-01_ses-1_" + part + ".nii", nifti_1(1));
    const bids::Session session = dataset.read().scans.sessions.at(0);
    CHECK(session.runs.size() == 5);
    CHECK(dataset.read().run("sub-01_ses-1_task-go_echo-1_part-mag_bold").files.size() == 3);
    CHECK(dataset.read().run("sub-01_ses-1_magnitude1").kind == "fieldmap");
}

TEST_CASE("images computed from others count where nothing else began then") {
    const Dataset dataset;
    const std::string derived =
        R"({"ImageType": ["DERIVED", "PRIMARY"], "AcquisitionDuration": 60})";
    dataset.write("sub-01/ses-1/dwi/sub-01_ses-1_rec-ADC_dwi.nii", nifti_1(1));
    dataset.write("sub-01/ses-1/dwi/sub-01_ses-1_rec-ADC_dwi.json", derived);
    // Without a start nobody knows of what it was made, unless that is there too.
    CHECK(dataset.read().scans.sessions.at(0).runs.size() == 4);
    CHECK(dataset.read().scans.ignored.count("image computed from others") == 0);
    dataset.write("sub-01/ses-1/sub-01_ses-1_scans.tsv",
                  "filename\tacq_time\n"
                  "func/sub-01_ses-1_task-rest_run-1_bold.nii.gz\t1850-01-01T10:00:00\n"
                  "dwi/sub-01_ses-1_rec-ADC_dwi.nii\t1850-01-01T10:20:00\n");
    CHECK(dataset.read().run("sub-01_ses-1_rec-ADC_dwi").duration->time == Seconds(60.0));
    const Dataset with_original;
    with_original.write("sub-01/ses-1/dwi/sub-01_ses-1_rec-ADC_dwi.nii", nifti_1(1));
    with_original.write("sub-01/ses-1/dwi/sub-01_ses-1_rec-ADC_dwi.json", derived);
    with_original.write("sub-01/ses-1/dwi/sub-01_ses-1_dwi.nii", nifti_1(31));
    with_original.write("dwi.json", R"({"AcquisitionDuration": 300})");
    CHECK(with_original.read().scans.sessions.at(0).runs.size() == 4);
    CHECK(with_original.read().scans.ignored.at("image computed from others") == 1);
    CHECK(with_original.read().run("sub-01_ses-1_dwi").duration->time == Seconds(300.0));
    with_original.write("sub-01/ses-1/anat/sub-01_ses-1_T1map.json", R"({"AcquisitionDuration": 300})");
    CHECK(with_original.read().scans.ignored.at("image computed from others") == 2);
}

TEST_CASE("what has no start stands behind the others by name, and a note says so") {
    const Dataset dataset;
    dataset.write("sub-01/ses-1/sub-01_ses-1_scans.tsv",
                  "filename\tacq_time\n"
                  "func/sub-01_ses-1_task-rest_run-2_bold.nii.gz\t1850-01-01T10:00:00\n"
                  "func/sub-01_ses-1_task-rest_run-1_bold.nii.gz\tn/a\n");
    const ReadScans read = dataset.read();
    CHECK(names_of(read.scans.sessions.at(0)) ==
          std::vector<std::string>{"sub-01_ses-1_task-rest_run-2_bold", "sub-01_ses-1_T1w",
                                   "sub-01_ses-1_task-rest_run-1_bold"});
    CHECK(is_noted(read, "of 2 runs no start is known"));
    std::filesystem::remove(dataset.path("sub-01/ses-1/sub-01_ses-1_scans.tsv"));
    CHECK(is_noted(dataset.read(), "in the order of their names"));
}

TEST_CASE("sessions are apart, and what is no run is listed by its sort") {
    const Dataset dataset;
    dataset.write("sub-02/func/sub-02_task-rest_bold.nii", nifti_1(10));
    dataset.write("sub-02/func/sub-02_task-rest_events.tsv", "onset\tduration\n1\t1\n");
    dataset.write("sub-02/func/sub-02_task-rest_events.json", "{}");
    dataset.write("sub-02/func/sub-02_task-rest_physio.tsv.gz", "x");
    dataset.write("sub-02/dwi/sub-02_dwi.bval", "0");
    dataset.write("sub-02/anat/sub-02_mask.nii", nifti_1(1));
    dataset.write("sub-02/pet/sub-02_pet.nii", nifti_1(1));
    dataset.write("derivatives/sub-02/anat/sub-02_T1w.nii", nifti_1(1));
    dataset.write(".git/annex/sub-02_T1w.nii", nifti_1(1));
    const ReadScans read = dataset.read();
    CHECK(read.mistakes.empty());
    REQUIRE(read.scans.sessions.size() == 2);
    CHECK(read.scans.sessions[1].name == "sub-02");
    CHECK(read.scans.sessions[1].runs.size() == 1);
    CHECK(read.scans.sessions[1].time() == Seconds(20.0));
    const std::map<std::string, std::size_t> ignored = {
        {"events.tsv", 1}, {"physio.tsv.gz", 1},         {"dwi.bval", 1},
        {"mask image", 1}, {"image in a folder pet", 1}, {"folder derivatives", 1}};
    CHECK(read.scans.ignored == ignored);
}

TEST_CASE("a sidecar alone, a link that leads nowhere and a row without a file are runs") {
    const Dataset dataset;
    dataset.write("sub-01/ses-1/perf/sub-01_ses-1_asl.json", R"({"AcquisitionDuration": 240})");
    std::filesystem::create_symlink("../../.git/annex/gone",
                                    dataset.path("sub-01/ses-1/anat/sub-01_ses-1_T2w.nii.gz"));
    dataset.write("sub-01/ses-1/anat/sub-01_ses-1_T2w.json", R"({"AcquisitionDuration": 200})");
    dataset.write("sub-01/ses-1/sub-01_ses-1_scans.tsv",
                  "filename\tacq_time\tduration\nanat/sub-01_ses-1_FLAIR.nii.gz\tn/a\t130\n"
                  "../sub-01_sessions.tsv\tn/a\tn/a\n");
    const ReadScans read = dataset.read();
    CHECK(listed(read.mistakes) == "");
    CHECK(read.run("sub-01_ses-1_asl").duration->time == Seconds(240.0));
    CHECK(read.run("sub-01_ses-1_T2w").duration->time == Seconds(200.0));
    CHECK(read.run("sub-01_ses-1_FLAIR").duration->time == Seconds(130.0));
    CHECK(read.scans.sessions.at(0).runs.size() == 6);
}

TEST_CASE("all mistakes are listed with their places") {
    const Dataset dataset;
    dataset.write("sub-01/ses-1/func/sub-01_ses-1_task-rest_run-1_bold.json", "{\"a\": }");
    dataset.write("sub-01/ses-1/anat/sub-01_ses-1_T1w.nii", nifti_1(1).substr(0, 100));
    dataset.write("sub-01/ses-1/sub-01_ses-1_scans.tsv",
                  "filename\tacq_time\tduration\n"
                  "anat/sub-01_ses-1_T1w.nii\t1850-01-01\t-3\n"
                  "anat/sub-01_ses-1_T1w.nii\tn/a\tn/a\n");
    dataset.write("sub-02/sub-02_scans.tsv", "file\tacq_time\n");
    dataset.write("sub-02/anat/sub-02_T1w.nii", "");
    const ReadScans read = dataset.read();
    const auto is_listed = [&](const std::string& words) {
        return std::ranges::any_of(read.mistakes, [&](const std::string& mistake) {
            return mistake.find(words) != std::string::npos &&
                   mistake.find("accepted: ") != std::string::npos;
        });
    };
    CHECK(is_listed("run-1_bold.json:1:7: this is not JSON"));
    CHECK(is_listed("sub-01_ses-1_T1w.nii:1:1: it ends after 100 bytes"));
    CHECK(is_listed("scans.tsv:2:2: acq_time is \"1850-01-01\""));
    CHECK(is_listed("scans.tsv:2:3: duration is \"-3\""));
    CHECK(is_listed("scans.tsv:3:1: \"anat/sub-01_ses-1_T1w.nii\" stands twice"));
    CHECK(is_listed("sub-02_scans.tsv:1:1: there is no column filename"));
    CHECK(is_listed("sub-02_T1w.nii:1:1: it ends after 0 bytes"));
    CHECK(read.mistakes.size() == 7);
    CHECK(ReadScans(dataset.path("no-such")).mistakes.at(0).find("no such folder") !=
          std::string::npos);
    CHECK(ReadScans(dataset.path("derivatives-of-nothing/..")).mistakes.size() == 1);
    CHECK(ReadScans(dataset.path("task-rest_bold.json")).mistakes.at(0).find("this is no folder") !=
          std::string::npos);
}

TEST_CASE("a folder as dcm2niix fills it is one session, by the times in its sidecars") {
    const TemporaryFolder folder;
    const auto add = [&](const std::string& name, int volumes, const std::string& keys) {
        static_cast<void>(folder.write(name + ".json", "{" + keys + "}"));
        if (volumes > 0)
            static_cast<void>(folder.write(name + ".nii.gz", gzipped(nifti_1(volumes))));
    };
    const std::string epi =
        R"("RepetitionTime": 2, "ScanningSequence": "EP", "ProtocolName": "rest", )";
    add("2_rest_e1", 100, epi + R"("AcquisitionTime": "10:00:00.500000")");
    add("2_rest_e2", 100, epi + R"("AcquisitionTime": "10:00:00.520000")");
    add("1_loc", 3,
        R"("RepetitionTime": 0.01, "AcquisitionTime": "09:59:00.0", "ProtocolName": "loc")");
    add("3_tfl", 0,
        R"("RepetitionTime": 2.3, "AcquisitionTime": "10:05:0.000000", "AcquisitionDuration": 312)");
    static_cast<void>(folder.write("notes.json", R"({"author": "nobody"})"));
    const ReadScans read(folder.path(""));
    CHECK(listed(read.mistakes) == "");
    REQUIRE(read.scans.sessions.size() == 1);
    CHECK(names_of(read.scans.sessions[0]) ==
          std::vector<std::string>{"1_loc", "2_rest_e1", "3_tfl"});
    CHECK(read.run("1_loc").duration->time == Seconds(60.5));
    CHECK(read.run("2_rest_e1").duration->time == Seconds(200.0));
    CHECK(read.run("2_rest_e1").files.size() == 2);
    CHECK(read.run("2_rest_e1").kind == "rest");
    CHECK(read.run("3_tfl").duration->time == Seconds(312.0));
}

TEST_CASE("starts as they are written in tables and sidecars") {
    const auto seconds = [](std::string_view text) { return bids::parse_start(text)->count(); };
    CHECK(seconds("10:00:00") == 36'000.0);
    CHECK(seconds("10:00:7.5") == 36'007.5);  // as dcm2niix writes it
    CHECK(seconds("10:00:00.25") == 36'000.25);
    CHECK(seconds("2026-11-29T10:00:00Z") - seconds("2026-11-28T10:00:00Z") == 86'400.0);
    CHECK(seconds("2026-11-29T10:00:00+01:00") - seconds("2026-11-29T10:00:00Z") == -3'600.0);
    CHECK(seconds("1600-03-01T00:00:00") - seconds("1600-02-28T00:00:00") == 2 * 86'400.0);
    for (const char* other :
         {"", "10:00", "2026-13-01T10:00:00", "2026-02-30T10:00:00", "25:00:00", "2026-11-29",
          "10:00:00x", "10:00:00.", "2026-11-29T10:00:00+1", "-1:00:00", "10:0a:00"})
        CHECK_MESSAGE(!bids::parse_start(other), other);
}

TEST_CASE("runs fit patterns by name, file, folder or kind, the first that fits counts") {
    const Dataset dataset;
    const ReadScans read = dataset.read();
    const bids::Run& run = read.run("sub-01_ses-1_task-rest_run-1_bold");
    const auto matched = [&](const std::vector<files::MatchRow>& rows) {
        const files::MatchRow* row = bids::match_of(run, rows);
        return row ? row->sequence : "";
    };
    for (const char* pattern :
         {"*task-rest*bold*", "task-rest_bold", "sub-01_ses-1_task-rest_run-?_bold",
          "*run-1_bold.nii.gz", "sub-01/ses-1/func/*"})
        CHECK_MESSAGE(matched({{pattern, "epi"}}) == "epi", pattern);
    CHECK(matched({{"*task-nback*", "other"}}).empty());
    CHECK(matched({{"*T1w*", "t1"}, {"*bold*", "first"}, {"*task-rest*", "second"}}) == "first");
}
