#include "starting/scans_of_study.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include <fmt/format.h>

#include "bids/run_duration.hpp"
#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/error_list.hpp"
#include "files/ids.hpp"

namespace earbudget::starting {

namespace {

/// Shorter pauses are not written. Own choice: starts are rounded to seconds.
constexpr Seconds shortest_rest{1.0};

/// An id that says what kind of run it is of.
std::string id_of_kind(const std::string& kind) {
    constexpr std::size_t longest = 80;
    std::string id = visible_text(kind).substr(0, longest);
    // Neither half a character nor blanks at the end.
    while (!id.empty() && files::why_no_id(id))
        id.pop_back();
    return id.empty() ? "scan" : id;
}

class TimelineOfScans {
  public:
    TimelineOfScans(const bids::Session& session, const std::vector<files::MatchRow>& matches,
                    DraftedStudy& study)
        : session_(session), matches_(matches), study_(study) {
        for (const DraftedRun& run : study.timeline)
            if (!run.sequence.empty() && run.duration) stated_.emplace(run.sequence, *run.duration);
    }

    void write() {
        study_.timeline.clear();
        study_.matches = matches_;
        for (std::size_t n = 0; n < session_.runs.size(); ++n) {
            add_run(session_.runs[n]);
            if (n + 1 < session_.runs.size()) add_rest(session_.runs[n], session_.runs[n + 1]);
        }
    }

  private:
    void add_run(const bids::Run& run) {
        const files::MatchRow* match = bids::match_of(run, matches_);
        DraftedRun row{.sequence = match ? match->sequence : id_of_kind(run.kind)};
        add_card(run, match, row.sequence);
        std::string how;
        if (run.duration) {
            row.duration = run.duration->time;
            row.duration_from = run.duration->source;
            how = run.duration->how;
        }
        if (!run.duration || run.duration->source == DurationSource::NextStart)
            take_stated(row, match, how);
        row.remark = fmt::format("{}: {}", run.name, how);
        if (!row.duration) {
            study_.notes.push_back(fmt::format(
                "missing: no duration of {} is known, an invented one stands in its place; {}",
                run.name, run.missing));
        }
        study_.timeline.push_back(std::move(row));
    }

    /// What whoever knows the protocol says.
    void take_stated(DraftedRun& row, const files::MatchRow* match, std::string& how) const {
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

    void add_rest(const bids::Run& run, const bids::Run& next) {
        const auto& lasted = study_.timeline.back().duration;
        if (!run.start || !next.start || !lasted) return;
        const Seconds rest = *next.start - *run.start - *lasted;
        if (rest < shortest_rest) return;
        if (rest > bids::longest_gap) {
            study_.notes.push_back(
                fmt::format("left out: the {} between {} and {}; if those were two visits, make a "
                            "plan of each",
                            text_of(rest), run.name, next.name));
            return;
        }
        study_.timeline.push_back({.duration = rest, .remark = "until the next start"});
    }

    void add_card(const bids::Run& run, const files::MatchRow* match, const std::string& id) {
        const bool is_there =
            std::ranges::find(study_.sequences, id, &DraftedSequence::id) != study_.sequences.end();
        if (!is_there)
            study_.sequences.push_back({.id = id, .title = match ? id : visible_text(run.kind)});
        if (match) {
            if (!is_there)
                study_.notes.push_back(fmt::format(
                    "\"{}\" of [match] stands in no table of sequences: its levels are invented",
                    id));
            return;
        }
        if (std::ranges::find(study_.matches, run.kind, &files::MatchRow::pattern) !=
            study_.matches.end())
            return;
        study_.matches.push_back({.pattern = run.kind, .sequence = id});
        if (!is_there)
            study_.notes.push_back(
                fmt::format("not matched: {} and what is like it has a card of "
                            "its own, \"{}\", with invented levels",
                            run.name, id));
    }

    const bids::Session& session_;
    const std::vector<files::MatchRow>& matches_;
    DraftedStudy& study_;
    std::map<std::string, Seconds> stated_;
};

/// Sorts of files that are not runs, with their numbers.
std::string ignored_words(const bids::Scans& scans) {
    std::string text;
    for (const auto& [sort, number] : scans.ignored)
        text += fmt::format("{}{} × {}", text.empty() ? "" : ", ", number, sort);
    return text;
}

std::string name_of(const bids::Session& session) {
    return session.name.empty() ? "one session" : session.name;
}

std::string words_on_others(const bids::Scans& scans, const bids::Session& longest) {
    Seconds least = longest.time();
    for (const bids::Session& session : scans.sessions)
        least = std::min(least, session.time());
    return fmt::format(
        "of {} sessions the longest is in the plan, {}, with {} of scans; the shortest has {}. For "
        "another name its folder",
        scans.sessions.size(), name_of(longest), text_of(longest.time()), text_of(least));
}

}  // namespace

void add_runs(const std::string& folder, const bids::Scans& scans,
              const std::vector<files::MatchRow>& matches, DraftedStudy& study) {
    const bids::Session& longest =
        *std::ranges::max_element(scans.sessions, {}, &bids::Session::time);
    study.about_timeline = {fmt::format("From scans that exist, {}, {}.", folder, name_of(longest)),
                            fmt::format("{}.", bids::scans_are_a_lower_bound)};
    study.notes.emplace_back(bids::scans_are_a_lower_bound);
    if (scans.sessions.size() > 1) study.notes.push_back(words_on_others(scans, longest));
    for (const std::string& note : longest.notes) {
        study.notes.push_back(note);
        study.about_timeline.push_back(note);
    }
    TimelineOfScans(longest, matches, study).write();
    if (!scans.ignored.empty())
        study.notes.push_back("passed over, since they are no runs: " + ignored_words(scans));
}

void add_scans(const std::string& folder, const std::optional<std::string>& site,
               files::TextInputs& inputs, DraftedStudy& study) {
    std::vector<files::MatchRow> matches;
    const bids::Scans scans = files::without_mistakes([&](files::ErrorList& errors) {
        if (site) errors.attempt([&] { matches = files::read_match(*site, inputs); });
        return bids::read_scans(folder, inputs, errors);
    });
    add_runs(folder, scans, matches, study);
}

}  // namespace earbudget::starting
