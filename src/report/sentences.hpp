#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/measuring/measure.hpp"
#include "report/reports.hpp"

namespace earbudget::report {

// What an assessment says in words, for text and pages: sentences without line breaks.

/// What tasks state to be worn, whatever the person wears else, "a, b under c"; empty for nothing.
[[nodiscard]] std::string worn_in_tasks(const Plan& plan, const Person& person);

/// "wears Foam plug (foam), poorly seated".
[[nodiscard]] std::string wears_text(const Plan& plan, const Person& person);

/// ", poorly seated, 50 % of the time"; empty where it is well seated and worn all the time.
[[nodiscard]] std::string how_worn(const Wearing& wearing);

/// Who wears something with metal at the magnet: before every verdict; empty for nobody.
[[nodiscard]] std::string metal_headline(const Plan& plan,
                                         const std::vector<const Person*>& people);
[[nodiscard]] std::string metal_headline(const Assessment& assessment);

/// Everyone with this verdict, people alike together: "a and 3 alike, b"; empty for nobody.
[[nodiscard]] std::string ids_with(const Assessment& assessment, Verdict verdict);

/// The verdict in words, with the action values that are exceeded.
[[nodiscard]] std::string verdict_words(const PersonResult& result);

/// The action values that are exceeded beside the limits, and what follows; empty for none.
[[nodiscard]] std::string action_value_words(const PersonResult& result);

/// "5.7 dB left to niosh-rel (dose 27.1 %, limit 100 %)".
[[nodiscard]] std::string margin_first(const CriterionResult& result);

/// Why the verdict is what it is: the limits that make it so, or the tightest one.
[[nodiscard]] std::vector<std::string> reasons_of(const PersonResult& person);

/// The day: exposure, what drives it, a poor fit, how useful it is, the method, other methods.
[[nodiscard]] std::vector<std::string> day_sentences(const Plan& plan, const PersonResult& person);

/// Each criterion used, with its source and remark.
[[nodiscard]] std::vector<std::string> criteria_sentences(const Assessment& assessment);

/// How sure a person's verdict is: the standard uncertainty of the tightest exposure by its parts,
/// largest first, and what must be known to read the probabilities.
[[nodiscard]] std::vector<std::string> uncertainty_sentences(const Plan& plan,
                                                             const PersonResult& result);

/// Why best estimate and probability of one limit point in opposite directions, and whose the
/// probability is; empty where they do not.
[[nodiscard]] std::string why_apart(const PersonResult& person, const CriterionResult& result);

// What a ranking says in words, for text and pages: sentences without line breaks; empty where
// there is nothing to say.

/// What stands before all answers: who wears metal at the magnet, who cannot be decided.
[[nodiscard]] std::string headline(const Plan& plan, const std::vector<PersonChoice>& choices);

/// What to hand out by the ranking alone, or why nothing.
[[nodiscard]] std::string answer_words(const Plan& plan, const PersonChoice& choice);

/// What to hand out as `assess` and the sheet have it (hand_out): what the plan says first, where
/// that is kept, then what the ranking has before it.
[[nodiscard]] Answer answer_of(const Plan& plan, const PersonChoice& choice,
                               const PersonResult& planned, const HandOut& out);

/// What no answer of what to wear says of peaks: "; but a peak is above its limit", or that it
/// cannot be decided; empty where neither is so.
[[nodiscard]] std::string peak_beside_answer(const PersonChoice& choice);

/// What nothing in the catalogue changes.
[[nodiscard]] std::string peak_sentence(const PersonChoice& choice);

/// The verdict of what could be worn by all limits, and whether it is worse for one that nothing
/// worn changes.
[[nodiscard]] std::string verdict_by_all_words(const RankedChoice& choice);

/// By which method and derating, for how many people.
[[nodiscard]] std::string terms_sentence(const Person& person);

/// The reduction that would do, and ratings by type.
[[nodiscard]] std::vector<std::string> required_sentences(const Policy& policy,
                                                          const RequiredReduction& required);

/// With nothing worn.
[[nodiscard]] std::string unprotected_sentence(const PersonChoice& choice);

/// From the lowest to the highest of all methods.
[[nodiscard]] std::string spread_sentence(const Policy& policy, const RankedChoice& choice);

/// Each reason once, with what it keeps away; a pair goes with the one of it that may not be worn.
[[nodiscard]] std::vector<std::string> not_permitted_sentences(const Plan& plan,
                                                               const PersonChoice& choice);

// What is said of a measured channel in words, for text and pages: sentences without line breaks;
// empty where there is nothing to say.

/// A level in decibels, or that there is none.
template <class L>
std::string level_or_none(const std::optional<L>& level) {
    return level ? decimal_text(level->dB(), 1) : std::string("none");
}

[[nodiscard]] std::string why_no_level_sentence(const MeasuredChannel& channel);
[[nodiscard]] std::string calibration_sentence(const MeasuredChannel& channel);
[[nodiscard]] std::string tones_sentence(const MeasuredChannel& channel);
[[nodiscard]] std::string background_sentence(const std::optional<MeasuredBackground>& background);
[[nodiscard]] std::string proposed_uncertainty_sentence(
    const std::optional<ProposedUncertainty>& uncertainty);

/// Whether a run can stand for the sequence.
[[nodiscard]] std::string_view usability_words(const SequenceRun& run);

// What a review says in words, for text and pages: sentences without line breaks.

/// The mark beside a recommendation; a committee decides, so that none is simply "within".
[[nodiscard]] Verdict verdict_of(Recommendation::Code code);

/// A recommendation in less than a line, without what it names.
[[nodiscard]] std::string_view first_words(Recommendation::Code code);

/// Where the levels come from: name and text.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> origin_entries(const Origin& origin);

/// How each peak limit stands.
[[nodiscard]] std::vector<std::string> peak_sentences(const SequenceReview& review,
                                                      const ReviewTerms& terms);

[[nodiscard]] std::string check_words(const ReviewCheck& check);

/// What a permitted time a day is.
[[nodiscard]] std::string permitted_sentence(const ReviewTerms& terms);

/// Of the card's levels, stated or by default.
[[nodiscard]] std::string uncertainty_sentence(const Sequence& sequence);

/// From which catalogue, or that there is none.
[[nodiscard]] std::string protectors_sentence(const ReviewReport& report);

/// How they are predicted; empty without a catalogue.
[[nodiscard]] std::vector<std::string> method_sentences(const ReviewReport& report);

/// For whom the review is: "for a child, participant", "for staff".
[[nodiscard]] std::string whom_words(const ReviewTerms& terms);

/// By how much a predicted card lies beside the measured one that is reviewed.
[[nodiscard]] std::string predicted_sentence(const PredictedBeside& predicted);

/// What the age group changes: that no limit for it is known, the times of what is made for another
/// one.
[[nodiscard]] std::vector<std::string> age_sentences(const SequenceReview& review,
                                                     const ReviewTerms& terms);

/// Each criterion with its source, then what the exit status says of them.
[[nodiscard]] std::vector<std::string> criteria_sentences(const ReviewTerms& terms);

/// What is worn by its ids; "nothing worn".
[[nodiscard]] std::string worn_words(const ReviewTerms& terms, const ReviewedChoice& choice);

/// A permitted time short enough for a table: "2 h 3 min", "24 h or more", "none".
[[nodiscard]] std::string time_words(const std::optional<PermittedTime>& time);

/// Levels, peaks, spectrum.
[[nodiscard]] std::vector<Block> levels_blocks(const Sequence& sequence);

/// Of each choice the level at the ear and the times permitted, one column a criterion.
[[nodiscard]] std::vector<Block> permitted_blocks(const ReviewTerms& terms,
                                                  const SequenceReview& review);

/// Each level and band, and each permitted time, before and now.
[[nodiscard]] std::vector<Block> difference_blocks(const ReviewTerms& terms,
                                                   const ReviewedCard& now,
                                                   const ReviewedCard& before);

}  // namespace earbudget::report
