#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/message.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget {

// Everything that is warned of, with its code in results; those without are parts of others.
// clang-format off
#define EARBUDGET_WARNINGS(row) \
    row(NoBackground, "", "no-background") row(ReductionBelowZero, "sn", "no-reduction") \
    row(BandsLeftOut, "snn", "bands-left-out") row(LCWithout63Hz, "s", "LC-without-63-Hz") \
    row(BackgroundUnreduced, "ns", "background-unreduced") \
    row(OtherNoiseUnreduced, "ns", "other-noise-unreduced") \
    row(LesserMethod, "slssm", "card-lacks-data") row(CardLacksData, "plm", "card-lacks-data") \
    row(ProtectorLacksData, "plm", "protector-lacks-data") row(NotReached, "nsmm") \
    row(Quoted, "s") row(QuotedSet, "l") row(Each, "") row(OtherNoise, "") row(TheBackground, "") \
    row(SpectrumNotKnown, "lm", "spectrum-not-known") row(BorrowedSpectrum, "sslnn") \
    row(LAeqAlone, "slssmnnnn") row(ReductionByM, "nn") \
    row(LabelFor84Percent, "lnnn", "label-for-84-percent") \
    row(PeakUnknown, "sln", "peak-unknown") row(MetalInBore, "s", "metal-in-bore") \
    row(MetalNearMagnet, "s", "metal-near-magnet") row(MetalUnstated, "sn", "metal-unstated") \
    row(WeeklyAverageNotUsed, "", "weekly-average-not-used") \
    row(DoesNotFitHeadCoil, "s", "does-not-fit-head-coil") row(NotWhatFits, "sn", "not-what-fits") \
    row(FitTestUsed, "ns", "fit-test-used") row(DeratingNotUsed, "s", "derating-not-used") \
    row(FitTestUncertainty, "", "fit-test-uncertainty") \
    row(FitTestOfOthers, "ln", "fit-test-of-others") row(PoorFit, "n", "poor-fit") \
    row(IntercomUnstated, "", "intercom-unstated") \
    row(IntercomWithoutBackground, "", "intercom-without-background") \
    row(IntercomByAverage, "", "intercom-by-average") \
    row(PairWithUnknown, "", "pair-with-unknown") row(PairEstimated, "", "pair-estimated") \
    row(PairWorseThanPart, "lsnssn", "pair-worse-than-part") \
    row(DeratingSuperseded, "s", "derating-superseded") \
    row(DeratingHasLimit, "s", "derating-has-limit") row(FewSamples, "nnsn", "few-samples") \
    row(UncertaintyByDefault, "lm", "uncertainty-by-default") row(DayTooLong, "", "day-too-long") \
    row(PeopleSpreadByDefault, "n", "people-spread-by-default") \
    row(PeopleSpreadUnknown, "", "people-spread-unknown") \
    row(CandidatesLeftOut, "nn", "candidates-left-out") \
    row(CandidatesNotAsked, "nn", "candidates-left-out") row(NoCriterion, "s", "no-criterion") \
    row(BelowBackground, "snn", "below-background") row(LevelRange, "snnn", "level-range") \
    row(TimelineFromScans, "", "timeline-from-scans") \
    row(DurationAtMost, "l", "duration-at-most") row(DurationAsMinutes, "s", "duration-as-minutes") row(ByEN458, "sn") \
    row(CardStale, "ss", "stale-card") row(CardSuperseded, "sl", "superseded-card") \
    row(UnfittedEar, "n", "unfitted-ear") row(NoLimitForNeonates, "", "no-limit-for-age") \
    row(YoungEars, "s", "young-ears") row(PregnantStaff, "", "ask-physician") \
    row(Tinnitus, "", "ask-physician") row(HearingDevice, "", "ask-physician")
// clang-format on
EARBUDGET_PHRASES(WarningPhrase, EARBUDGET_WARNINGS)

/// Something that was computed otherwise than the reader may expect.
struct Warning {
    Message says;  ///< a WarningPhrase, without the names of those whom it concerns
    std::optional<SourcePosition> where = std::nullopt;
    /// Ids of those whom it concerns; empty: what is the same for everyone, a card or the plan.
    std::vector<std::string> people = {};

    /// As results name it.
    [[nodiscard]] std::string_view code() const {
        return row_of(std::get<WarningPhrase>(says.phrase)).code;
    }
};

/// A warning about one person, at the place where the person is stated.
[[nodiscard]] inline Warning warning_for(const Person& person, Message says) {
    return {std::move(says), person.stated_at, {person.id}};
}

}  // namespace earbudget
