#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/computing/rows.hpp"
#include "earbudget/review/phrases.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget {

/// How an item of the checklist stands.
enum class CheckState {
    Ok,        ///< stated, and nothing speaks against it
    Doubtful,  ///< stated, but somebody should look at it
    Missing    ///< not stated
};

inline constexpr auto check_states = rows_of<NameRow<CheckState>>({
    {CheckState::Ok, "ok"},
    {CheckState::Doubtful, "doubtful"},
    {CheckState::Missing, "missing"},
});

/// As written in JSON: "ok", "doubtful", "missing".
[[nodiscard]] constexpr std::string_view name_of(CheckState state) {
    return check_states[state].name;
}

/// What is looked at on a card, in the order in which a committee reads.
enum class CheckCode {
    Origin,
    Who,
    Date,
    Position,
    Subject,
    Instrument,
    InstrumentClass,
    Timing,
    Calibration,
    Duration,
    Background,
    Recording,
    Uncertainty,
    UncertaintyParts,
    LevelRange,
    OctaveBands,
    LCeq,
    LCminusLA,
    LCpeak,
    LZpeak,
    PeakAboveAverage,
    TimingChanged,
    Validity
};

struct CheckRow {
    CheckCode key;
    std::string_view name;
    bool needed_first;  ///< while it is missing nothing can be approved
};

inline constexpr auto check_codes = rows_of<CheckRow>({
    {CheckCode::Origin, "origin", true},
    {CheckCode::Who, "who", true},
    {CheckCode::Date, "date", true},
    {CheckCode::Position, "position", true},
    {CheckCode::Subject, "subject", false},
    {CheckCode::Instrument, "instrument", true},
    {CheckCode::InstrumentClass, "instrument-class", false},
    {CheckCode::Timing, "timing", false},
    {CheckCode::Calibration, "calibration", true},
    {CheckCode::Duration, "duration", false},
    {CheckCode::Background, "background", false},
    {CheckCode::Recording, "recording", false},
    {CheckCode::Uncertainty, "uncertainty", true},
    {CheckCode::UncertaintyParts, "uncertainty-parts", false},
    {CheckCode::LevelRange, "level-range", false},
    {CheckCode::OctaveBands, "octave-bands", false},
    {CheckCode::LCeq, "LCeq", false},
    {CheckCode::LCminusLA, "LC-minus-LA", false},
    {CheckCode::LCpeak, "LCpeak", false},
    {CheckCode::LZpeak, "LZpeak", false},
    {CheckCode::PeakAboveAverage, "peak-above-average", false},
    {CheckCode::TimingChanged, "timing-changed", false},
    {CheckCode::Validity, "validity", false},
});

/// As written in JSON: "origin", "who", …
[[nodiscard]] constexpr std::string_view name_of(CheckCode code) { return check_codes[code].name; }

/// One item that a committee ticks before it approves a sequence.
struct ReviewCheck {
    CheckCode code;
    CheckState state = CheckState::Missing;
    Message says;        ///< what is stated, or what is wrong with it
    Message to_do = {};  ///< empty where it is Ok

    [[nodiscard]] bool is_needed_first() const { return check_codes[code].needed_first; }
};

/// Every item, in the order in which a committee reads: where the levels come from, how good the
/// measurement is, then the levels themselves. The free text of a card is searched for words, so
/// that a person must still read it.
[[nodiscard]] std::vector<ReviewCheck> check_card(const Sequence& sequence);

/// Those with this state.
[[nodiscard]] std::vector<const ReviewCheck*> checks_in(const std::vector<ReviewCheck>& checks,
                                                        CheckState state);

/// The check with this code; null where there is none.
[[nodiscard]] const ReviewCheck* find_check(const std::vector<ReviewCheck>& checks, CheckCode code);

}  // namespace earbudget
