#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "report/document.hpp"
#include "report/reports.hpp"

namespace earbudget::report {

// What is needed to decide, short enough for one screen: the same in text and at the beginning of a
// page. Nothing is computed here, and no verdict found a second time.

/// A line of a short answer is no longer, as wide as terminals have been for long. Own choice.
inline constexpr std::size_t short_columns = 80;

/// An answer about a group of people takes no more lines. Own choice.
inline constexpr std::size_t most_lines_of_group = 6;

/// So many groups are told in full, the worst first, which fills a screen. Own choice.
inline constexpr std::size_t groups_in_full = 5;

/// As much of a text as takes no more columns, the last of them "…" where some is left out.
[[nodiscard]] std::string fitted(std::string_view text, std::size_t columns);

/// Sentences that come to no more than so many lines below one another, `indent` columns from the
/// edge: the first that need more get what is free, in the order of `first`, places in `all`; what
/// then has no room ends with whole clauses and says where the rest is.
[[nodiscard]] std::vector<std::string> fitted_lines(std::vector<std::string> all, std::size_t lines,
                                                    const std::vector<std::size_t>& first,
                                                    std::size_t indent);

/// The lines that a sentence takes, so far from the edge.
[[nodiscard]] std::size_t lines_taken(const std::string& sentence, std::size_t indent);

/// "a, b and 3 more: --detail": no more than so many names, and one more where that is all; they
/// are never cut.
[[nodiscard]] std::string some_of(std::span<const std::string> names, std::size_t most,
                                  std::string_view between = ", ",
                                  std::string_view before_last = " and ");

/// People by their ids, as short as that is clear: "a, b and c", "a and 23 alike".
[[nodiscard]] std::string short_people(const std::vector<std::string>& ids, std::size_t columns);

/// Everyone of an assessment, the worst first: who, by how much, what to hand out, what to check
/// and to do, how many more runs fit. Beyond a screen whoever is over a limit or cannot be decided
/// has one line and what to hand out, everyone else one together and what to hand out to whom.
[[nodiscard]] Answers short_answers(const Assessment& assessment, const HandOuts* outs);

/// Somebody at one visit of a study.
struct PersonAtVisitInShort {
    std::size_t number;  ///< of the visit, from 1
    const Plan* plan;
    const PersonResult* planned;  ///< by the plan of the visit
    const HandOut* out;
};

/// Somebody over all visits of a study.
struct PersonOfStudyInShort {
    std::string id;
    Verdict verdict;                            ///< over all visits
    const PersonResult* day;                    ///< that the tightest limit is of
    const CriterionResult* tightest = nullptr;  ///< over all visits; null where there is none
    std::size_t as_bad = 0;                     ///< how many limits have the same verdict
    std::string when = {};                      ///< "at visit 2 (Scans)", "in the week of visit 2"
    std::vector<PersonAtVisitInShort> visits = {};
    /// With what is handed out, over all visits; none where that is what the plans have.
    std::optional<Verdict> then = std::nullopt;
    const CriterionResult* then_tightest = nullptr;
};

/// The same of a study: each line once where it holds for all visits, else visit by visit.
[[nodiscard]] Answers short_answers(const std::vector<PersonOfStudyInShort>& people);
/// "Hand out: …; spare: …" of people alike, or that they must not start; null: not looked for.
[[nodiscard]] std::string hand_out_sentence(const Plan& plan, const PersonResult& planned,
                                            const HandOut* out);

/// Of each person the first of what could be worn, with how it comes out; beyond a screen those who
/// are not within alone, the others counted.
[[nodiscard]] std::vector<Block> short_rankings(const Plan& plan,
                                                const std::vector<PersonChoice>& choices);

/// Of a card the level, the loudest concern, what is permitted with what, the recommendation and
/// what is to be checked, in no more than some fifteen lines.
[[nodiscard]] std::vector<std::string> short_review(const ReviewReport& report,
                                                    const ReviewedCard& card);

/// The end of a short answer in text: what it is of, `more`, how to see the rest, what must be read
/// with it; and what stands before everything else. Of visits there is no --working.
void end_in_short(const Record& record, const std::vector<std::string>& more, Document& document,
                  bool has_working = true);

/// Puts everything but the first section of a page, and what must be read with it, behind what
/// unfolds it; paper has it unfolded.
void fold(const Telling& telling, Document& document);

}  // namespace earbudget::report
