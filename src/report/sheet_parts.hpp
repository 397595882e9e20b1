#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/advice/hand_out.hpp"
#include "earbudget/study/plan.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// Somebody on the sheet: the day as planned and what is handed out.
struct SheetPerson {
    const PersonResult* planned;
    const HandOut* out;
    std::vector<std::string> alike = {};  ///< of whom "What to hand out" says the same, all ids

    /// The day with what is handed out.
    [[nodiscard]] const PersonResult& day() const { return out->day ? *out->day : *planned; }
    [[nodiscard]] const Person& person() const { return *planned->person; }
};

/// Everyone, the worst verdict as planned first.
[[nodiscard]] std::vector<SheetPerson> worst_first(const Assessment& assessment,
                                                   const HandOuts& outs);

/// Whether the person lies or sits in the room while the timeline runs.
[[nodiscard]] bool is_exposed_to_timeline(const PersonResult& person);

/// People of whom a table says the same, one row for all.
struct AlikeOnSheet {
    std::vector<std::string> ids = {};
    std::vector<std::string> cells = {};  ///< words
    Verdict verdict = Verdict::Within;
};

/// Puts somebody beside those with the same cells, or at the end.
void add_alike(const std::string& id, std::vector<std::string> cells, Verdict verdict,
               std::vector<AlikeOnSheet>& rows);

/// All their ids.
[[nodiscard]] std::string ids_of(const AlikeOnSheet& alike);

/// The same, short: those who share a row of "What to hand out", where all their ids stand, are
/// "p01 and 23 alike".
[[nodiscard]] std::string short_names(const std::vector<std::string>& ids,
                                      const std::vector<SheetPerson>& people);

/// Whether the person must not start, whatever is worn, with what is known.
[[nodiscard]] bool may_not_start(const SheetPerson& one);

/// What somebody is given, or that the person must not start; protectors by title or by id.
[[nodiscard]] std::string handed_out(const Plan& plan, const SheetPerson& one, bool by_id = false);

/// What is given instead where that does not seat; "–" where nothing is worn.
[[nodiscard]] std::string spare(const Plan& plan, const SheetPerson& one, bool by_id = false);

/// What a poor fit makes of a day that is better well seated; empty where it changes nothing.
[[nodiscard]] std::string poorly_seated_words(const PersonResult& person);

/// Before everything else: who may not start and why, and for whom the plan's own choice is over a
/// limit; empty where there is nobody.
[[nodiscard]] std::vector<Block> first_part(const Plan& plan,
                                            const std::vector<SheetPerson>& people,
                                            const std::optional<Contact>& contact);

/// "NIOSH recommended exposure limit (niosh-rel)"; the id alone of what has no title.
[[nodiscard]] std::string limit_title(const Criterion& criterion);

/// Titles as people say them, with the id only where another title is the same.
[[nodiscard]] std::string sequence_title(const Plan& plan, std::size_t sequence);
[[nodiscard]] std::string worn_title(const Plan& plan, WornIds worn);

/// Metal near the magnet, and what is not known to be free of it; empty without any.
[[nodiscard]] std::vector<Block> metal_part(const Plan& plan,
                                            const std::vector<SheetPerson>& people);

/// Who is handed out what, what else fits, what the day comes to, and what to do where a limit is
/// not kept.
[[nodiscard]] Section people_part(const Plan& plan, const std::vector<SheetPerson>& people);

/// How each kind of what is handed out, of spares and of what tasks say is seated and checked.
[[nodiscard]] Section fit_part(const Plan& plan, const std::vector<SheetPerson>& people);

/// The timeline's runs in order, with the part of the day's allowance used after each and how many
/// more fit, for those who are in the room; three a table.
[[nodiscard]] Section runs_part(const Plan& plan, const std::vector<SheetPerson>& people);

/// When to stop, and whom to call.
[[nodiscard]] Section stop_part(const std::optional<Contact>& contact);

/// A name of the plan's, as long as a sheet has room for.
[[nodiscard]] std::string on_sheet(std::string_view name);

/// Lines to write on, for those who are in the room.
[[nodiscard]] Section writing_part(const std::vector<SheetPerson>& people);

}  // namespace earbudget::report
