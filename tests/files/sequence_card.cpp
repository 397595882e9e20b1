#include "files/study_files.hpp"

#include <random>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/random_protector.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("a card that is written reads back to the same sequence") {
    std::mt19937 random(16);
    const TemporaryFolder folder;
    for (int round = 0; round < 50; ++round) {
        Sequence card{.id = "a-1", .title = "Quote \" and \\ and π", .levels = {LevelA(0.0)}};
        card.levels.octave = random_octaves(random);
        card.levels.LAeq = *a_weighted(card.levels.octave).sum();
        card.levels.LCeq = *c_weighted(card.levels.octave).sum();
        card.levels.LCpeak = PeakLevelC(130.125);
        card.levels.uncertainty = LevelDifference(1.5);
        card.origin = {.how = "measured", .instrument = "class 1"};
        const auto path = folder.write("card.toml", files::write_sequence_card(card));
        const Sequence back = files::read_sequence_card(path);
        // Written to a thousandth of a decibel.
        const auto same = [](double a, double b) {
            return near(a, b, 0.0005001, Because::PrintedRounding);
        };
        CHECK(back.id == card.id);
        CHECK(back.title == card.title);
        CHECK(same(back.levels.LAeq.dB(), card.levels.LAeq.dB()));
        CHECK(same(back.levels.LCeq->dB(), card.levels.LCeq->dB()));
        CHECK(same(back.levels.LCpeak->dB(), card.levels.LCpeak->dB()));
        CHECK(same(back.levels.uncertainty->dB(), 1.5));
        CHECK(back.levels.octave.bands() == card.levels.octave.bands());
        for (const OctaveBand band : octave_bands) {
            if (!card.levels.octave.has(band)) continue;
            CHECK(same(back.levels.octave.at(band)->dB(), card.levels.octave.at(band)->dB()));
        }
        CHECK(back.origin.how == "measured");
        CHECK(back.origin.instrument == "class 1");
        // And what was read is written to the same bytes.
        CHECK(files::write_sequence_card(back) == files::write_sequence_card(card));
    }
}

TEST_CASE("octave levels alone give LAeq") {
    const TemporaryFolder folder;
    const auto path = folder.write("card.toml",
                                   "kind = \"sequence\"\nformat = 1\nid = \"x\"\n"
                                   "[levels.octave]\n\"1000\" = 90\n\"500\" = 90.0\n");
    const Sequence card = files::read_sequence_card(path);
    // 90 and 90 − 3.2 dB(A).
    CHECK(near(card.levels.LAeq.dB(), 91.70, 0.005, Because::PrintedRounding));
    CHECK(card.title == "x");
    CHECK(card.stated_at.line == 4);
}

TEST_CASE("what a card says of length and bound has keys; old cards say it in texts") {
    const TemporaryFolder folder;
    const auto card = [&folder](const std::string& levels, const std::string& origin) {
        return files::read_sequence_card(folder.write(
            "card.toml", "kind = \"sequence\"\nformat = 1\nid = \"x\"\n[levels]\nLAeq = 90.0\n" +
                             levels + "[origin]\nhow = \"measured\"\n" + origin));
    };
    const Sequence with_keys = card("LAeq_is_upper_bound = true\n", "duration_s = 12.5\n");
    CHECK(with_keys.origin.duration == Seconds(12.5));
    CHECK(with_keys.LAeq_is_upper_bound);
    const std::string written = files::write_sequence_card(with_keys);
    CHECK(written.find("\nduration_s = 12.5\n") != std::string::npos);
    CHECK(written.find("\nLAeq_is_upper_bound = true\n") != std::string::npos);
    const auto duration_in = [&card](const std::string& recording) {
        return card("", "recording = \"" + recording + "\"\n").origin.duration;
    };
    CHECK(duration_in("a.flac, channel 1, 10 s") == Seconds(10.0));
    CHECK(duration_in("x, channel 2, 1 min 20 s") == Seconds(80.0));
    CHECK(duration_in("x, 1 h 10 min 5 s from 3.000 s") == Seconds(4205.0));
    CHECK(duration_in("x, 2.5s") == Seconds(2.5));
    CHECK(!duration_in("take 3"));
    CHECK(!duration_in(""));
    const std::string bound = "background = \"room.flac, too close: LAeq is an upper bound\"\n";
    CHECK(card("", bound).LAeq_is_upper_bound);
    CHECK(!card("", "background = \"room.flac, taken off\"\n").LAeq_is_upper_bound);
    // The keys come first.
    CHECK(!card("LAeq_is_upper_bound = false\n", bound).LAeq_is_upper_bound);
    CHECK(card("", "duration_s = 5\nrecording = \"x, 10 s\"\n").origin.duration == Seconds(5.0));
}
