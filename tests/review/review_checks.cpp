// The checklist of a card.
#include "earbudget/review/review_checks.hpp"

#include <functional>

#include <doctest/doctest.h>

#include "report/words/words.hpp"
#include "review/reviewing.hpp"

using namespace earbudget;

namespace {

Sequence card() {
    Sequence sequence{.id = "a", .title = "A", .levels = {.LAeq = LevelA(108.0)}};
    sequence.levels.LCeq = LevelC(109.0);
    return sequence;
}

CheckState state_of(const Sequence& sequence, std::string_view code) {
    const auto checks = check_card(sequence);
    const ReviewCheck* check = find_check(checks, check_codes.parse(code).value());
    REQUIRE(check);
    // Whoever has something to do is told what.
    CHECK(check->to_do.empty() == (check->state == CheckState::Ok));
    CHECK(!check->says.empty());
    return check->state;
}

struct Case {
    std::string code;
    std::function<void(Sequence&)> change;
    CheckState state;
};

}  // namespace

TEST_CASE("review checks: what a bare card lacks is missing") {
    for (const char* code :
         {"origin", "who", "date", "position", "subject", "timing", "instrument",
          "instrument-class", "calibration", "duration", "background", "recording", "uncertainty",
          "uncertainty-parts", "octave-bands", "LCpeak", "LZpeak"}) {
        CAPTURE(code);
        CHECK(state_of(card(), code) == CheckState::Missing);
    }
    CHECK(state_of(card(), "LCeq") == CheckState::Ok);
    CHECK(state_of(card(), "level-range") == CheckState::Ok);
}

TEST_CASE("review checks: each item by what a card states") {
    using enum CheckState;
    const std::vector<Case> cases = {
        {"origin", [](Sequence& s) { s.origin.how = "measured"; }, Ok},
        {"origin", [](Sequence& s) { s.origin.how = "entered"; }, Doubtful},
        {"origin", [](Sequence& s) { s.origin.how = "guessed"; }, Doubtful},
        {"instrument-class", [](Sequence& s) { s.origin.instrument_class = 2; }, Ok},
        {"date", [](Sequence& s) { s.origin.when = "2026-11-02"; }, Ok},
        {"date", [](Sequence& s) { s.origin.when = "last Monday"; }, Doubtful},
        {"position", [](Sequence& s) { s.origin.where = "left ear, in the bore"; }, Ok},
        {"position", [](Sequence& s) { s.origin.where = "scanner 2"; }, Doubtful},
        {"subject", [](Sequence& s) { s.origin.where = "ear of a head phantom"; }, Ok},
        {"subject", [](Sequence& s) { s.origin.where = "empty bore"; }, Doubtful},
        {"subject", [](Sequence& s) { s.origin.subject = "empty"; }, Doubtful},
        {"instrument-class", [](Sequence& s) { s.origin.instrument = "class 2 meter"; }, Ok},
        {"duration", [](Sequence& s) { s.origin.duration = Seconds(10.0); }, Ok},
        {"duration", [](Sequence& s) { s.origin.duration = Seconds(9.9); }, Doubtful},
        {"duration", [](Sequence& s) { s.origin.duration.reset(); }, Missing},
        {"background", [](Sequence& s) { s.origin.background = "70 dB(A), taken off"; }, Ok},
        {"background",
         [](Sequence& s) {
             s.origin.background = "70 dB(A), too close";
             s.LAeq_is_upper_bound = true;
         },
         Doubtful},
        // What a text says is for people: files/old_cards alone looks for it.
        {"background",
         [](Sequence& s) { s.origin.background = "too close: LAeq is an upper bound"; }, Ok},
        {"recording", [](Sequence& s) { s.origin.recording = "a.flac"; }, Doubtful},
        {"uncertainty", [](Sequence& s) { s.levels.uncertainty = LevelDifference(0.7); }, Ok},
        {"uncertainty", [](Sequence& s) { s.levels.uncertainty = LevelDifference(0.5); }, Doubtful},
        {"uncertainty", [](Sequence& s) { s.levels.uncertainty = LevelDifference(4.0); }, Doubtful},
        {"uncertainty-parts", [](Sequence& s) { s.origin.uncertainty = "proposed: 1 dB"; }, Ok},
        {"uncertainty-parts",
         [](Sequence& s) { s.levels.uncertainty_parts = {.instrument = LevelDifference(0.7)}; },
         Ok},
        {"octave-bands",
         [](Sequence& s) { s.levels.octave.set(OctaveBand::Hz1000, LevelZ(108.0)); }, Doubtful},
        {"LC-minus-LA", [](Sequence& s) { s.levels.LCeq = LevelC(118.0); }, Ok},
        {"LC-minus-LA", [](Sequence& s) { s.levels.LCeq = LevelC(118.1); }, Doubtful},
        {"LCeq", [](Sequence& s) { s.levels.LCeq = std::nullopt; }, Missing},
        {"peak-above-average", [](Sequence& s) { s.levels.LCpeak = PeakLevelC(111.9); }, Doubtful},
        {"peak-above-average", [](Sequence& s) { s.levels.LCpeak = PeakLevelC(121.0); }, Ok},
        {"peak-above-average",
         [](Sequence& s) {
             s.levels.octave.set(OctaveBand::Hz1000, LevelZ(108.0));
             s.levels.LZpeak = PeakLevelZ(120.0);
         },
         Ok},
        {"peak-above-average", [](Sequence& s) { s.levels.LCpeak = PeakLevelC(139.5); }, Doubtful},
        // Price and others, 2001, and J Magn Reson Imaging 2000, 12:157.
        {"level-range", [](Sequence& s) { s.levels.LAeq = LevelA(82.4); }, Doubtful},
        {"level-range", [](Sequence& s) { s.levels.LAeq = LevelA(82.5); }, Ok},
        {"level-range", [](Sequence& s) { s.levels.LAeq = LevelA(132.0); }, Ok},
        {"level-range", [](Sequence& s) { s.levels.LAeq = LevelA(132.1); }, Doubtful},
    };
    for (const Case& one : cases) {
        Sequence sequence = card();
        one.change(sequence);
        CAPTURE(one.code);
        CHECK(name_of(state_of(sequence, one.code)) == name_of(one.state));
    }
}

TEST_CASE("review checks: years in free text") {
    CHECK(has_year("2 November 2026"));
    CHECK(!has_year("2.11."));
    CHECK(!has_year("take 20261"));
}

TEST_CASE("review checks: what was guessed is not called entered from a document") {
    Sequence guessed = card();
    guessed.origin.how = "guessed";
    const auto checks = check_card(guessed);
    CHECK(text_of(find_check(checks, CheckCode::Origin)->says).find("document") !=
          std::string::npos);
    CHECK(text_of(find_check(checks, CheckCode::Origin)->says).find("guessed") == 0);
}
