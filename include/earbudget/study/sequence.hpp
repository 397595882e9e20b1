#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "earbudget/acoustics/message.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/computing/rows.hpp"
#include "earbudget/computing/source_position.hpp"

namespace earbudget {

/// How levels came about.
enum class OriginWay {
    Measured,
    Entered,   ///< from a document
    Guessed,   ///< by nobody's measurement
    Declared,  ///< a manufacturer's statement about the scanner, no bound for one sequence: a phantom
               ///< or a person in the bore alone can add 5 to 10 dB (abstract seen)
    Predicted  ///< computed from what the scanner plays
};

struct OriginWayRow {
    OriginWay key;
    std::string_view name;
    bool may_be_within;  ///< whether a limit can be within by such levels, else close at best
};

inline constexpr auto origin_ways = rows_of<OriginWayRow>({
    {OriginWay::Measured, "measured", true},
    {OriginWay::Entered, "entered", true},
    {OriginWay::Guessed, "guessed", false},
    {OriginWay::Declared, "declared", false},
    {OriginWay::Predicted, "predicted", false},
});

/// How the levels of a sequence came about, as free text for the reader, and how, a name of
/// origin_ways; empty where the card does not say.
struct Origin {
    std::string how = {};
    std::string who = {};
    std::string when = {};
    std::string where = {};
    std::string subject = {};  ///< what lay in the scanner: "phantom", "person" or "empty"
    std::string timing = {};   ///< of the protocol that was measured, which a level belongs to
    std::string instrument = {};
    std::optional<unsigned> instrument_class = std::nullopt;  ///< 1 or 2 by IEC 61672-1
    std::string calibration = {};                             ///< how decibels came about
    std::string background = {};                     ///< what was taken off, where something was
    std::string uncertainty = {};                    ///< the parts of the uncertainty
    std::string recording = {};                      ///< file name and channel
    std::string recording_sha256 = {};               ///< of that file, hexadecimal
    std::optional<Seconds> duration = std::nullopt;  ///< of what the levels were measured from
    std::string table = {};                          ///< that they were entered from, and its row
};

/// Whether a limit can be within by levels that came about so, and a bound stand for their peak:
/// measured or entered, or not said, which is entered by somebody.
[[nodiscard]] bool may_be_within(const Origin& origin);

/// What is said of a key of a card's [origin]: readers and writers of cards, their documents and
/// the JSON of a review go by these.
struct OriginRow {
    std::string_view key;
    std::string_view doc;  ///< in one line of Markdown
    std::variant<std::string Origin::*, std::optional<unsigned> Origin::*,
                 std::optional<Seconds> Origin::*>
        member;
};

/// In the order in which cards are written.
inline constexpr auto origin_rows = std::to_array<OriginRow>({
    {"how", "how the levels came about", &Origin::how},
    {"who", "who measured", &Origin::who},
    {"when", "the date", &Origin::when},
    {"where", "the place", &Origin::where},
    {"subject", "what lay in the scanner", &Origin::subject},
    {"timing", "timing of the protocol that was measured, which a level belongs to",
     &Origin::timing},
    {"instrument", "the instrument", &Origin::instrument},
    {"instrument_class", "its class by IEC 61672-1:2013", &Origin::instrument_class},
    {"calibration", "how the decibels came about", &Origin::calibration},
    {"background", "what was taken off, where something was", &Origin::background},
    {"uncertainty", "what the uncertainty is made of", &Origin::uncertainty},
    {"recording", "the recording's name and channel", &Origin::recording},
    {"recording_sha256", "SHA-256 of that file, hexadecimal", &Origin::recording_sha256},
    {"duration_s", "length of the recording that the levels were measured from, seconds",
     &Origin::duration},
    {"table", "the table that the levels were entered from, and its row", &Origin::table},
});

/// What one sequence does to the ear of a person in the scanner: a sequence card.
struct Sequence {
    std::string id;
    std::string title;
    SoundLevels levels;  ///< at the participant's ear position, nobody protected, over one run
    Origin origin = {};
    /// Whether the background was too close to be taken off, so that LAeq may be lower.
    bool LAeq_is_upper_bound = false;
    SourcePosition stated_at = {};  ///< of [levels]
    /// Id of the card whose octave bands stand for this one's; empty: none asked for.
    std::string spectrum_like = {};
    SourcePosition spectrum_like_at = {};
    std::string scanner = {}, software = {}, coil = {};  ///< free text; empty: not stated
    std::string valid_until = {};  ///< YYYY-MM-DD, the last day on which it is used; empty: not stated
    std::vector<std::string> supersedes = {};  ///< ids of cards that this one stands for now
};

/// Standard uncertainties of measured levels (ISO 9612:2009, tables C.5 and C.6: u2 and u3;
/// memory).
inline constexpr LevelDifference uncertainty_of_class_1{0.7};
inline constexpr LevelDifference uncertainty_of_other_instruments{1.5};
inline constexpr LevelDifference uncertainty_of_position{1.0};

// Where an uncertainty comes from: stated, or the default for how the levels came about, its size.
#define EARBUDGET_ORIGINS(row)                                                               \
    row(Stated, "") row(MeasuredByClass1, "n") row(MeasuredOtherwise, "n") row(Entered, "n") \
        row(EnteredInPlan, "n") row(Guessed, "n") row(NoOrigin, "n")                         \
        row(Declared, "n") row(Predicted, "n")
EARBUDGET_PHRASES(OriginPhrase, EARBUDGET_ORIGINS)

/// The standard uncertainty of a level and where it comes from.
struct StatedUncertainty {
    /// Parts as stated; a whole without parts counts as the instrument's, shared by all that one
    /// measurement found.
    UncertaintyParts parts;
    LevelDifference whole;
    Message source;           ///< an OriginPhrase
    bool is_default = false;  ///< nothing was stated
};

/// That of a card, else a default by how the card came about: measured, 0.7 dB of a class 1
/// instrument or 1.5 dB of any other with 1.0 dB of the microphone's position (ISO 9612, annex C;
/// memory); entered from a document 3 dB; guessed, declared, predicted, or without origin, 5 dB (own
/// choices).
[[nodiscard]] StatedUncertainty stated_or_default_uncertainty(const Sequence& card);

/// The same of levels and how they came about.
[[nodiscard]] StatedUncertainty stated_or_default_uncertainty(const SoundLevels& levels,
                                                              const Origin& origin);

/// That of levels that stand in a plan, a background or a task's own: 3 dB where not stated.
[[nodiscard]] StatedUncertainty stated_or_default_uncertainty_in_plan(const SoundLevels& levels);

/// What cards of one measurement have in common: who, when and instrument. Levels without an origin
/// count as one measurement.
[[nodiscard]] std::string measurement_of(const Origin& origin);

/// The largest disagreement between LAeq and the sum of the octave bands that is taken for rounding
/// and for energy away from mid-band.
inline constexpr LevelDifference octave_sum_tolerance{1.0};

/// The largest standard uncertainty of a level that is not called a typing error.
inline constexpr LevelDifference highest_uncertainty{30.0};

/// Something in a set of levels that cannot be.
struct Contradiction {
    std::string key;  ///< the one to look at, as in files: "LAeq", "LCpeak", "octave", …
    Message says;     ///< an ObstaclePhrase, with both numbers and what is accepted
};

/// Finds what contradicts itself in a set of levels, none when nothing does: a level outside −20 to
/// 190 dB, a negative uncertainty, octave bands that do not sum to LAeq, LAeq above LCeq or above
/// the unweighted level by more than the weightings allow, LCeq below what the bands give, a peak
/// below the average, low frequencies that are said to be lacking against LC − LA.
[[nodiscard]] std::optional<Contradiction> contradiction_in(const SoundLevels& levels);

}  // namespace earbudget
