#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/advice/compare.hpp"
#include "earbudget/advice/hand_out.hpp"
#include "earbudget/choice/check_ratings.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/measuring/measure.hpp"
#include "earbudget/review/review.hpp"
#include "earbudget/study/plan.hpp"
#include "report/cautions.hpp"
#include "report/document.hpp"
#include "report/record.hpp"

namespace earbudget::report {

/// An earlier version that an assessment is compared with.
struct Earlier {
    Comparison comparison;
    SourceFile file;
};

/// How much a report tells, and in which order.
struct Telling {
    enum class Of {
        Whole,          ///< everything
        ShortAlone,     ///< what is needed to decide, and how to see the rest
        ShortThenWhole  ///< the same, then everything, which a page folds
    };
    Of of = Of::Whole;
    bool unfolded = false;  ///< pages: nothing is folded to begin with
    /// Of an assessment, what to hand out; null where it would be too much to look for.
    const HandOuts* outs = nullptr;
    /// Of a choice: what is handed out, as `assess` has it; null where the plan itself cannot be
    /// assessed, so that the ranking alone answers.
    const PlannedHandOuts* planned = nullptr;

    [[nodiscard]] bool begins_short() const { return of != Of::Whole; }
    [[nodiscard]] bool is_short_alone() const { return of == Of::ShortAlone; }
};

/// What changed between two versions of a plan, person by person.
[[nodiscard]] Section compare_section(const Earlier& earlier);

/// The assessment to be read: the verdict first, then what changed where it is compared, then
/// person by person why, what to do, figures, drawings and working. Points into all of them.
[[nodiscard]] Document assess_document(const Assessment& assessment, const SourceFile& file,
                                       const Record& record,
                                       const std::optional<Earlier>& earlier = std::nullopt,
                                       const Telling& telling = {});

/// Paper for the operator at the scanner, to be read at arm's length: what is handed out to whom
/// and what else fits, when to stop, whom to call, how it is seated and checked, the runs in order
/// with what each uses of the day's allowance, lines to write on. Nothing is left out: what does
/// not fit on one sheet goes on on the next.
[[nodiscard]] Document sheet_document(const Assessment& assessment, const HandOuts& outs,
                                      const SourceFile& file, const std::optional<Contact>& contact,
                                      const Record& record);

/// The assessment as JSON, one object, with a line break at its end. Levels that there are not
/// (no sound) are null.
[[nodiscard]] std::string assess_json(const Assessment& assessment, const SourceFile& plan_file,
                                      const Record& record,
                                      const std::optional<Earlier>& earlier = std::nullopt);

/// The ranking for each person as JSON, with a line break at the end.
[[nodiscard]] std::string choose_json(const Plan& plan, const std::vector<PersonChoice>& choices,
                                      const Record& record);

/// The same to be read: what to hand out first, then person by person the ranking with reasons, how
/// far methods lie apart, working. Points into all of them.
[[nodiscard]] Document choose_document(const Plan& plan, const std::vector<PersonChoice>& choices,
                                       const Record& record, const Telling& telling = {});

/// A recording that was measured, with the file it came from.
struct RecordingReport {
    SourceFile file;
    MeasuredRecording measured;
    std::optional<Seconds> from = std::nullopt;  ///< where the part measured begins
    bool runs_asked_for = false;
    std::size_t channels_in_file = 1;  ///< also where only one was asked for
};

/// The levels of some recordings as JSON, to a thousandth of a decibel, with a line break at the
/// end. Levels that there are not are null, and a quality entry says why.
[[nodiscard]] std::string measure_json(const std::vector<RecordingReport>& recordings,
                                       const Record& record);

/// The same to be read: the levels first, what is wrong with a recording beside them, then the
/// level history, bands, tones, working. Points into the recordings.
[[nodiscard]] Document measure_document(const std::vector<RecordingReport>& recordings,
                                        const Record& record);

/// LAeq of each second as comma-separated values (RFC 4180), one line a second of each channel:
/// file, channel, start in the recording and duration in seconds, LAeq in dB. The last line of a
/// channel may be shorter than a second; a level that there is not stays empty.
[[nodiscard]] std::string measure_history(const std::vector<RecordingReport>& recordings);

/// A checked catalogue as JSON, one object, with a line break at its end. Ratings that there are
/// not are null.
[[nodiscard]] std::string ratings_json(const RatingsCheck& check, const Record& record);

/// The same to be read: the outcome, one table, what to look at. Points into the check.
[[nodiscard]] Document ratings_document(const RatingsCheck& check, const Record& record);

/// One card with the file it was read from, and what it replaces where that was asked for.
struct ReviewedCard {
    SequenceReview review;
    SourceFile file;
};

/// A predicted card beside the card of the same sequence that is reviewed.
struct PredictedBeside {
    SourceFile file;            ///< of the predicted card
    std::string sequence;       ///< id of the reviewed one
    LevelDifference LAeq{0.0};  ///< predicted less reviewed
    std::array<std::optional<LevelDifference>, octave_band_count> octave = {};
    LevelDifference uncertainty{0.0};                    ///< standard uncertainty of both together
    std::optional<std::string> added_to = std::nullopt;  ///< response file whose record grew by it

    /// Within twice the uncertainty.
    [[nodiscard]] bool is_inside() const {
        return std::abs(LAeq.dB()) <= 2.0 * uncertainty.dB() + level_slack.dB();
    }
};

/// All that a review report is made from.
struct ReviewReport {
    const ReviewTerms* terms;
    std::vector<ReviewedCard> cards;
    std::optional<ReviewedCard> against = std::nullopt;   ///< the card that is replaced
    std::optional<SourceFile> protectors = std::nullopt;  ///< the catalogue
    Record record = {};
    std::optional<PredictedBeside> predicted = std::nullopt;
};

/// The methods, the derating and the criteria of a review.
[[nodiscard]] RulesUsed rules_of(const ReviewReport& report);

/// The reviews as JSON, with a line break at the end.
[[nodiscard]] std::string review_json(const ReviewReport& report);

/// The same to be read: the recommendations first, then of each card the conditions, the levels,
/// the times permitted, what to tick, where the levels come from. Points into the report.
[[nodiscard]] Document review_document(const ReviewReport& report, const Telling& telling = {});

}  // namespace earbudget::report
