// How long a run lasted, by what its own files say, the best of it first.
#include <string>

#include <doctest/doctest.h>

#include "bids/dataset.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const std::string rest = "sub-01_task-rest_bold";

/// A session with one run of 240 volumes, its sidecar, and possibly a next start.
ReadScans with(const std::string& sidecar, const std::string& rows = "", int volumes = 240,
               const std::string& name = rest, const std::string& folder = "func") {
    const TemporaryFolder dataset;
    const std::string place = "sub-01/" + folder + "/" + name;
    static_cast<void>(dataset.write(place + ".nii.gz", gzipped(nifti_1(volumes))));
    static_cast<void>(dataset.write(place + ".json", sidecar));
    static_cast<void>(
        dataset.write("sub-01/sub-01_scans.tsv", "filename\tacq_time\tduration\n" + rows));
    return ReadScans(dataset.path(""));
}

const std::string begins = "func/" + rest + ".nii.gz\t1877-06-15T10:00:00\t";
const std::string next = "anat/sub-01_T1w.nii.gz\t1877-06-15T10:30:00\tn/a\n";

bids::RunDuration duration_of(const ReadScans& read, const std::string& name = rest) {
    CHECK(read.mistakes.empty());
    REQUIRE(read.run(name).duration);
    return *read.run(name).duration;
}

}  // namespace

TEST_CASE("the sources of a duration in their order") {
    const std::string all = R"({"RepetitionTime": 2.5, "AcquisitionDuration": 610.0})";
    const auto stated = duration_of(with(all, begins + "605.5\n" + next));
    CHECK(stated.time == Seconds(605.5));
    CHECK(stated.source == DurationSource::ScansTable);
    const auto acquired = duration_of(with(all, begins + "n/a\n" + next));
    CHECK(acquired.time == Seconds(610.0));
    CHECK(acquired.source == DurationSource::AcquisitionDuration);
    const auto volumes = duration_of(with(R"({"RepetitionTime": 2.5})", begins + "n/a\n" + next));
    CHECK(volumes.time == Seconds(600.0));
    CHECK(volumes.source == DurationSource::Volumes);
    CHECK(volumes.how == "240 volumes, RepetitionTime 2.5 s each");
    const auto until = duration_of(with("{}", begins + "n/a\n" + next));
    CHECK(until.time == Seconds(1800.0));
    CHECK(until.source == DurationSource::NextStart);
    const ReadScans none = with("{}", begins + "n/a\n");
    CHECK(none.mistakes.empty());
    CHECK(!none.run(rest).duration);
    CHECK(none.run(rest).missing.find("or RepetitionTime in its sidecar") != std::string::npos);
}

TEST_CASE("volumes that were discarded were heard") {
    const auto duration = duration_of(with(
        R"({"RepetitionTime": 2.5, "NumberOfVolumesDiscardedByScanner": 4,
            "NumberOfVolumesDiscardedByUser": 2})"));
    CHECK(duration.time == Seconds(615.0));
    CHECK(duration.how.find("240 volumes + 4 discarded by the scanner + 2 discarded by the user") ==
          0);
}

TEST_CASE("the RepetitionTime of an anatomical scan is no time of a volume") {
    const std::string T1w = "sub-01_T1w";
    const ReadScans read = with(R"({"RepetitionTime": 2.3})", "", 1, T1w, "anat");
    CHECK(!read.run(T1w).duration);
    CHECK(read.run(T1w).missing.find("RepetitionTime") == std::string::npos);
    const ReadScans four = with(R"({"RepetitionTime": 2.3})", "", 4, T1w, "anat");
    CHECK(!four.run(T1w).duration);
    const auto stated = duration_of(
        with(R"({"RepetitionTime": 2.3, "AcquisitionDuration": 312})", "", 1, T1w, "anat"), T1w);
    CHECK(stated.time == Seconds(312.0));
}

TEST_CASE("shots of a volume count where each takes a repetition, and not where BIDS counts volumes") {
    const std::string shots = R"({"RepetitionTime": 4, "NumberShots": 4})";
    const ReadScans dwi = with(shots, "", 31, "sub-01_dwi", "dwi");
    CHECK(duration_of(dwi, "sub-01_dwi").time == Seconds(496.0));
    CHECK(duration_of(with(shots)).time == Seconds(960.0));
    const std::string labelled = R"({"RepetitionTimePreparation": 4, "NumberShots": [8, 2]})";
    const ReadScans asl = with(labelled, "", 20, "sub-01_asl", "perf");
    CHECK(duration_of(asl, "sub-01_asl").time == Seconds(640.0));
    CHECK(duration_of(asl, "sub-01_asl").how ==
          "20 volumes, RepetitionTimePreparation 4 s × 8 shots (NumberShots) each");
}

TEST_CASE("a duration that somebody typed counts, and is held against what the scanner wrote") {
    const std::string both = R"({"RepetitionTime": 2.5, "AcquisitionDuration": 610.0})";
    const ReadScans minutes = with(both, begins + "10.17\n" + next);
    CHECK(duration_of(minutes).time == Seconds(10.17));
    CHECK(is_noted(minutes, "the duration in scans.tsv, 10.17 s, counts, though "
                            "AcquisitionDuration gives 610 s"));
    CHECK(!is_noted(with(both, begins + "605.5\n" + next), "counts, though"));
    CHECK(!is_noted(with("{}", begins + "5\n" + next), "counts, though"));
}

TEST_CASE("volumes before the first that was kept were heard too") {
    const std::string sidecar = R"({"VolumeTiming": [6, 8, 10, 14, 20],
        "FrameAcquisitionDuration": [2, 2, 2, 2, 2]})";
    CHECK(duration_of(with(sidecar, "", 5)).time == Seconds(22.0));
    const std::string discarded = R"({"VolumeTiming": [6, 8, 10], "FrameAcquisitionDuration": [2],
        "NumberOfVolumesDiscardedByScanner": 3})";
    CHECK(duration_of(with(discarded, "", 3)).time == Seconds(12.0));
}

TEST_CASE("VolumeTiming tells when the last volume began, other keys how long it took") {
    const std::string timing = R"("VolumeTiming": [0, 10, 20, 32])";
    const auto by_gap = duration_of(with("{" + timing + "}", "", 4));
    CHECK(by_gap.time == Seconds(44.0));
    CHECK(by_gap.source == DurationSource::VolumeTiming);
    CHECK(duration_of(with("{" + timing + R"(, "FrameAcquisitionDuration": [2, 2, 2, 2]})", "", 4))
              .time == Seconds(34.0));
    CHECK(duration_of(with("{" + timing + R"(, "NumberOfVolumesDiscardedByScanner": 2})", "", 4))
              .time == Seconds(64.0));
    // Formerly AcquisitionDuration beside it was that of a volume.
    const ReadScans former = with("{" + timing + R"(, "AcquisitionDuration": 2.0})", "", 4);
    CHECK(duration_of(former).time == Seconds(34.0));
    CHECK(is_noted(former, "is that of a volume, as it formerly was"));
    CHECK(with(R"({"VolumeTiming": [0, 10, 5, 32]})", "", 4).mistakes.at(0).find("does not rise") !=
          std::string::npos);
    CHECK(with("{" + timing + "}", "", 5).mistakes.at(0).find("has 4 entries") !=
          std::string::npos);
}

TEST_CASE("an AcquisitionDuration of one volume is told from that of the run, the longer counts") {
    const ReadScans near_repetition =
        with(R"({"RepetitionTime": 2.5, "AcquisitionDuration": 2.4})");
    CHECK(duration_of(near_repetition).time == Seconds(600.0));
    CHECK(duration_of(near_repetition).source == DurationSource::Volumes);
    CHECK(is_noted(near_repetition, "is that of a volume, as it formerly was"));
    // Sparse: 2 s of noise every 10 s.
    const ReadScans sparse = with(R"({"RepetitionTime": 10, "AcquisitionDuration": 2})");
    CHECK(duration_of(sparse).time == Seconds(2400.0));
    const ReadScans shorter = with(R"({"RepetitionTime": 2.5, "AcquisitionDuration": 300})");
    CHECK(duration_of(shorter).time == Seconds(600.0));
    CHECK(is_noted(shorter, "is shorter than its 240 volumes need"));
    // Without RepetitionTime: so short that hardly any run of several volumes is, or fitting the
    // gap.
    const ReadScans short_one = with(R"({"AcquisitionDuration": 2.0})");
    CHECK(duration_of(short_one).time == Seconds(480.0));
    CHECK(is_noted(short_one, "may be that of a volume"));
    const ReadScans by_gap = with(R"({"AcquisitionDuration": 12})", begins + "n/a\n" + next, 120);
    CHECK(duration_of(by_gap).time == Seconds(1440.0));
    CHECK(is_noted(by_gap, "120 volumes of it fit the time to the next start"));
    // That of the run: several times of it do not fit, and it is as long as its volumes.
    const ReadScans whole = with(R"({"AcquisitionDuration": 610})", begins + "n/a\n" + next);
    CHECK(duration_of(whole).time == Seconds(610.0));
    CHECK(!is_noted(whole, "volume"));
    const ReadScans one = with(R"({"RepetitionTime": 2.5, "AcquisitionDuration": 2.5})", "", 1);
    CHECK(duration_of(one).time == Seconds(2.5));
}

TEST_CASE("labelled spins have a RepetitionTimePreparation, one for all volumes or each its own") {
    const std::string asl = "sub-01_asl";
    CHECK(duration_of(with(R"({"RepetitionTimePreparation": 4})", "", 60, asl, "perf"), asl).time ==
          Seconds(240.0));
    CHECK(duration_of(with(R"({"RepetitionTimePreparation": [4, 6]})", "", 2, asl, "perf"), asl)
              .time == Seconds(10.0));
}

TEST_CASE("a next start hours later is no bound, an earlier one is said") {
    CHECK(!with("{}", begins + "n/a\nanat/sub-01_T1w.nii.gz\t1877-06-15T15:30:00\tn/a\n")
               .run(rest)
               .duration);
    const ReadScans early =
        with(R"({"RepetitionTime": 2.5})",
             begins + "n/a\nanat/sub-01_T1w.nii.gz\t1877-06-15T10:05:00\tn/a\n");
    CHECK(duration_of(early).time == Seconds(600.0));
    CHECK(is_noted(early, "is longer than the 300 s until the next start"));
}

TEST_CASE("numbers that cannot be are refused at their place, milliseconds among them") {
    const auto mistake = [](const std::string& sidecar) { return with(sidecar).mistakes.at(0); };
    const std::string milliseconds = mistake("{\n  \"RepetitionTime\": 2500}");
    CHECK(
        milliseconds.find(".json:2:3: \"RepetitionTime\" is 2500; accepted: from 0.001 to 100 s") !=
        std::string::npos);
    CHECK(mistake(R"({"RepetitionTime": -2})").find("is -2") != std::string::npos);
    CHECK(mistake(R"({"RepetitionTime": "2 s"})").find("holds no number") != std::string::npos);
    CHECK(mistake(R"({"AcquisitionDuration": 0})").find("is 0") != std::string::npos);
    CHECK(mistake(R"({"RepetitionTime": 1e999})").find("too large") != std::string::npos);
    CHECK(
        mistake("{\"RepetitionTime\": 2.5,\n}").find(".json:2:1: this is not JSON from here on") !=
        std::string::npos);
    CHECK(mistake("[2.5]").find("no JSON object") != std::string::npos);
    const auto step = [](float seconds) {
        const TemporaryFolder dataset;
        static_cast<void>(dataset.write("sub-01/func/" + rest + ".nii", nifti_1(240, seconds)));
        static_cast<void>(
            dataset.write("sub-01/func/" + rest + ".json", R"({"RepetitionTime": 2.5})"));
        return ReadScans(dataset.path("sub-01"));
    };
    CHECK(is_noted(step(2.0F), "the header has 2 s from volume to volume, the sidecar "
                               "RepetitionTime 2.5 s; the sidecar counts"));
    CHECK(duration_of(step(2.0F)).time == Seconds(600.0));
    CHECK(is_noted(step(3.0F), "the header counts"));
    CHECK(duration_of(step(3.0F)).time == Seconds(720.0));
    // No volume takes so long: a unit was mistaken.
    CHECK(duration_of(step(2500.0F)).time == Seconds(600.0));
}
