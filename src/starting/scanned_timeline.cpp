#include "starting/scanned_timeline.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "bids/run_duration.hpp"
#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/ids.hpp"
#include "files/written_values.hpp"

namespace earbudget::starting {

namespace {

/// Shorter pauses are not written. Own choice: starts are rounded to seconds.
constexpr Seconds shortest_rest{1.0};

/// A text of scans as an id may be.
std::string short_text(const std::string& whole) {
    constexpr std::size_t longest = 80;
    std::string text = visible_text(files::trimmed(whole, " \t\r\n")).substr(0, longest);
    // Neither half a character nor blanks at the end.
    while (!text.empty() && files::why_no_id(text))
        text.pop_back();
    return text;
}

/// An id that says what kind of run it is of.
std::string id_of_kind(const std::string& kind) {
    std::string id = short_text(kind);
    return id.empty() ? "scan" : id;
}

/// One note for each card, with the first of its runs.
template <class Words>
void note_by_card(const std::vector<ScannedRun>& runs, const Words& words,
                  std::vector<std::string>& notes) {
    std::map<std::string, std::size_t> number;
    for (const ScannedRun& run : runs)
        ++number[run.sequence];
    for (const ScannedRun& run : runs) {
        const auto counted = number.find(run.sequence);
        if (counted == number.end()) continue;
        const std::size_t others = counted->second - 1;
        notes.push_back(
            words(run, others == 0 ? "" : fmt::format(", with {} more like it,", others)));
        number.erase(counted);
    }
}

}  // namespace

std::string few_of(const std::vector<std::string>& names) {
    constexpr std::size_t most = 10;  // own choice
    const auto shown = std::min(most, names.size());
    const std::string text = fmt::format(
        "{}", fmt::join(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(shown), ", "));
    return names.size() <= most ? text : fmt::format("{} and {} more", text, names.size() - most);
}

ScannedTimelines::ScannedTimelines(const std::vector<files::MatchRow>& matches, DraftedStudy& study)
    : matches_(matches), study_(study) {
    for (const DraftedRun& run : study.plans.front().timeline)
        if (!run.sequence.empty() && run.duration) stated_.emplace(run.sequence, *run.duration);
    for (const DraftedSequence& sequence : study.sequences)
        in_tables_.insert(sequence.id);
    study.matches = matches;
}

std::vector<DraftedRun> ScannedTimelines::timeline_of(const ScannedVisit& visit) {
    std::vector<DraftedRun> timeline;
    const bids::Run* before = nullptr;
    for (const bids::Session* session : visit.sessions) {
        bool next_session = before != nullptr;
        for (const bids::Run& run : session->runs) {
            if (before) add_rest(*before, run, next_session, timeline);
            next_session = false;
            add_run(*session, run, timeline);
            before = &run;
        }
    }
    return timeline;
}

void ScannedTimelines::add_run(const bids::Session& session, const bids::Run& run,
                               std::vector<DraftedRun>& timeline) {
    const files::MatchRow* match = bids::match_of(run, matches_);
    DraftedRun row{.sequence = match ? match->sequence : id_of_kind(run.kind)};
    add_card(session, run, match, row.sequence);
    std::string how;
    if (run.duration) {
        row.duration = run.duration->time;
        row.duration_from = run.duration->source;
        how = run.duration->how;
    }
    if (!run.duration || run.duration->source == DurationSource::NextStart)
        take_stated(row, match, how);
    row.remark = fmt::format("{}: {}", run.name, how);
    if (!row.duration)
        study_.without_duration.push_back({session.name, run.name, row.sequence, run.missing});
    timeline.push_back(std::move(row));
}

/// What whoever knows the protocol says.
void ScannedTimelines::take_stated(DraftedRun& row, const files::MatchRow* match,
                                   std::string& how) const {
    const auto in_table = stated_.find(row.sequence);
    if (match && match->duration) {
        row.duration = *match->duration;
        how = "duration in [match]";
    } else if (in_table != stated_.end()) {
        row.duration = in_table->second;
        how = "duration in the table of sequences";
    } else {
        return;
    }
    row.duration_from = DurationSource::Stated;
}

void ScannedTimelines::add_rest(const bids::Run& run, const bids::Run& next, bool next_session,
                                std::vector<DraftedRun>& timeline) {
    const auto& lasted = timeline.back().duration;
    if (!run.start || !next.start || !lasted) return;
    const Seconds rest = *next.start - *run.start - *lasted;
    if (rest < shortest_rest) return;
    if (rest > bids::longest_gap) {
        study_.notes.push_back(
            fmt::format("left out: the {} between {} and {}{}", text_of(rest), run.name, next.name,
                        next_session ? ", two sessions of one day"
                                     : "; if those were two visits, make a plan of each"));
        return;
    }
    timeline.push_back({.duration = rest, .remark = "until the next start"});
}

void ScannedTimelines::add_card(const bids::Session& session, const bids::Run& run,
                                const files::MatchRow* match, const std::string& id) {
    Made& made = made_[id];
    const auto keep = [](const std::string& text, std::set<std::string>& texts) {
        if (std::string seen = short_text(text); !seen.empty()) texts.insert(std::move(seen));
    };
    keep(run.equipment.scanner, made.scanners);
    keep(run.equipment.software, made.software);
    keep(run.equipment.coil, made.coils);
    const bool is_there =
        std::ranges::find(study_.sequences, id, &DraftedSequence::id) != study_.sequences.end();
    if (!is_there)
        study_.sequences.push_back({.id = id, .title = match ? id : visible_text(run.kind)});
    if (match) {
        if (!is_there)
            study_.notes.push_back(fmt::format(
                "\"{}\" of [match] stands in no table of sequences: its levels are invented", id));
        return;
    }
    const bool is_row = std::ranges::find(study_.matches, run.kind, &files::MatchRow::pattern) !=
                        study_.matches.end();
    if (!is_row) study_.matches.push_back({.pattern = run.kind, .sequence = id});
    if (!in_tables_.contains(id)) study_.unmatched.push_back({session.name, run.name, id});
}

/// A card states what all of its runs have in common, as far as their sidecars say it.
void ScannedTimelines::note_equipment() {
    const auto settle = [&](const std::string& id, const std::set<std::string>& texts,
                            std::string_view what, std::string& on_card) {
        if (texts.size() == 1) on_card = *texts.begin();
        if (texts.size() > 1)
            study_.notes.push_back(fmt::format(
                "the runs of \"{}\" were made with several {}: {}; its card states none", id, what,
                few_of({texts.begin(), texts.end()})));
    };
    for (const auto& [id, made] : made_) {
        DraftedSequence& card = *std::ranges::find(study_.sequences, id, &DraftedSequence::id);
        settle(id, made.scanners, "scanners", card.equipment.scanner);
        settle(id, made.software, "versions of the software", card.equipment.software);
        settle(id, made.coils, "coils", card.equipment.coil);
    }
}

void ScannedTimelines::finish() {
    note_by_card(
        study_.without_duration,
        [](const ScannedRun& run, const std::string& others) {
            return fmt::format(
                "missing: no duration of {}{} is known, an invented one stands in its place; {}",
                run.run, others, run.missing);
        },
        study_.notes);
    note_by_card(
        study_.unmatched,
        [](const ScannedRun& run, const std::string& others) {
            return fmt::format(
                "not matched: {}{} has a card of its own, \"{}\", with invented levels", run.run,
                others, run.sequence);
        },
        study_.notes);
    note_equipment();
}

}  // namespace earbudget::starting
