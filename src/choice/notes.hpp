#pragma once

#include <span>
#include <string>
#include <vector>

#include "earbudget/choice/check_ratings.hpp"
#include "earbudget/choice/choose.hpp"

namespace earbudget {

/// What was taken otherwise than a reader may expect in one person's day: what the day itself warns
/// of, the protection, the uncertainty, the length.
void warn_of_person(const Plan& plan, const Person& person, const ExposureDay& day,
                    std::vector<Warning>& warnings);

/// Adds a warning where speech and residual noise could only be reduced by the sequences' average.
void warn_of_intercom(const Person& person, const std::optional<IntercomAtEar>& intercom,
                      std::vector<Warning>& warnings);

/// The person wearing that, well seated and all the time; a fit test stays with what it was made
/// with.
[[nodiscard]] Person wearing_that(const Person& person, const std::vector<std::string>& wears);

/// The warnings of a day with that worn, as notes: those of these phrases, or all others.
[[nodiscard]] std::vector<Message> notes_of_warnings(const Plan& plan, const Person& person,
                                                     const std::vector<std::string>& wears,
                                                     const ExposureDay& day,
                                                     std::span<const WarningPhrase> phrases,
                                                     bool these);

/// Says why an exposure cannot be decided: no criterion is for the role (null), or what no method
/// reaches decides.
void note_undecided(const Person& person, const Criterion* tightest, RankedChoice& choice);

/// Says how a peak at the ear stands that is not surely kept, or kept by a bound.
void note_peak(const CriterionResult& peak, RankedChoice& choice);

/// Says how far a choice is from the tightest of the limits that what is worn changes; null where
/// none counts.
void note_margin(const Criterion* tightest, RankedChoice& choice);

/// Whether a limit is one that nothing worn changes, where others are.
[[nodiscard]] bool counts_whatever_is_worn(const CriterionResult& result, const Person& person);

/// Says that such a limit is the tightest of all, and how far it is.
void note_tightest_whatever_is_worn(const CriterionResult& tightest, RankedChoice& choice);

/// Says what is to be known of a day with this choice: whether it is more than useful, hangs on the
/// fit, lets speech be heard, and every warning of its computation. A choice that a fit test speaks
/// against, or that leaves out bands which could put the person over, becomes unknown.
void note_day(const Plan& plan, const Person& person, const ExposureDay& day, RankedChoice& choice);

/// Says what speaks against a choice before any level: head coil, metal, what the person agrees to
/// and has ear canals for.
void note_comfort(const Plan& plan, const Person& person, RankedChoice& choice);

/// Says what holds whatever is worn, and takes it out of the notes of each choice.
void note_whatever_is_worn(const Plan& plan, const Person& person, PersonChoice& choices);

/// Sorts choices, best first, and says in `reason` why each stands behind the one above it: the
/// first of these in which they differ: the verdict, how far over a limit, more protection than
/// useful, fit in the head coil, stated free of metal, comfort, one protector or two, distance of
/// the level while scanning from `least_useful` in whole decibels, worn now, the distance.
void rank(std::vector<RankedChoice>& choices, LevelA least_useful);

/// What looks mistyped in attenuation by band, and the bands that it lacks. `octave` may be absent.
[[nodiscard]] std::vector<CatalogueNote> notes_on_octaves(
    const std::optional<OctaveAttenuation>& octave, bool states_ratings);

/// What looks mistyped in the stated ratings by themselves; `computed` says what the data allow.
[[nodiscard]] std::vector<CatalogueNote> notes_on_ratings(const Ratings& stated,
                                                          const Ratings& computed);

/// Ratings stated that lie far from those computed.
[[nodiscard]] std::vector<CatalogueNote> notes_on_comparisons(
    const std::vector<RatingComparison>& comparisons,
    const std::optional<OctaveAttenuation>& octave);

/// A measured pair that attenuates less than one of the two alone.
[[nodiscard]] std::vector<CatalogueNote> notes_on_pair(const MeasuredPair& pair,
                                                       const Catalogue& catalogue);

}  // namespace earbudget
