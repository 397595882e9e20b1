// What a card states of a recording of several channels.
#include <doctest/doctest.h>

#include "earbudget/measuring/measure.hpp"

using namespace earbudget;

TEST_CASE("a card has the levels of the ear that is worse off, and the highest peak of either") {
    // The peak may be at the other ear: it is what a peak limit is compared with.
    MeasuredRecording recording{.sample_rate = Frequency(48000.0), .channels = {}};
    const auto add = [&](double LAeq, double peak) {
        MeasuredChannel& channel = recording.channels.emplace_back();
        channel.number = recording.channels.size();
        channel.levels.LAeq = LevelA(LAeq);
        channel.levels.LCpeak = PeakLevelC(peak);
        channel.levels.LZpeak = PeakLevelZ(peak + 1.0);
    };
    for (const bool other_ear : {false, true}) {
        CAPTURE(other_ear);
        recording.channels.clear();
        add(100.0, other_ear ? 120.0 : 130.0);
        add(90.0, other_ear ? 130.0 : 120.0);
        const CardLevels card = card_levels(recording);
        CHECK(card.channel == 1);
        CHECK(card.levels.LAeq == LevelA(100.0));
        CHECK(card.levels.LCpeak == PeakLevelC(130.0));
        CHECK(card.levels.LZpeak == PeakLevelZ(131.0));
    }
}
