#include "starting/scans_of_study.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "files/error_list.hpp"
#include "files/ids.hpp"
#include "starting/scanned_timeline.hpp"
#include "starting/scanned_visits.hpp"

namespace earbudget::starting {

namespace {

/// Each file is kept open until all are in their places. Own choice.
constexpr std::size_t most_files_drafted = 900;

/// Durations that differ by no more are the same: starts are rounded to seconds. Own choice.
constexpr Seconds same_duration{1.0};

/// Bounds by the next start differ with what was done in between, and are alike whatever they are.
bool last_alike(const DraftedRun& one, const DraftedRun& other) {
    if (!one.duration || !other.duration) return !one.duration && !other.duration;
    if (one.duration_from != other.duration_from) return false;
    return one.duration_from == DurationSource::NextStart ||
           std::abs(one.duration->count() - other.duration->count()) <= same_duration.count();
}

std::vector<DraftedRun*> runs_of(std::vector<DraftedRun>& timeline) {
    std::vector<DraftedRun*> runs;
    for (DraftedRun& row : timeline)
        if (!row.sequence.empty()) runs.push_back(&row);
    return runs;
}

/// The same cards in the same order, each as long; pauses may differ.
bool are_alike(std::vector<DraftedRun>& one, std::vector<DraftedRun>& other) {
    const auto a = runs_of(one), b = runs_of(other);
    return std::ranges::equal(a, b, [](const DraftedRun* left, const DraftedRun* right) {
        return left->sequence == right->sequence && last_alike(*left, *right);
    });
}

/// Visits that are alike; the first has the longest scans.
struct AlikeVisits {
    std::vector<std::size_t> visits;  ///< places among all, in their order
    std::size_t longest;
};

std::vector<AlikeVisits> grouped(const std::vector<ScannedVisit>& visits,
                                 std::vector<std::vector<DraftedRun>>& timelines) {
    std::vector<AlikeVisits> groups;
    for (std::size_t n = 0; n < visits.size(); ++n) {
        const auto alike = std::ranges::find_if(groups, [&](const AlikeVisits& group) {
            return are_alike(timelines[group.visits.front()], timelines[n]);
        });
        if (alike == groups.end()) {
            groups.push_back({{n}, n});
        } else {
            alike->visits.push_back(n);
            if (visits[n].time() > visits[alike->longest].time()) alike->longest = n;
        }
    }
    const auto first = std::ranges::max_element(
        groups, {}, [&](const AlikeVisits& group) { return visits[group.longest].time(); });
    std::rotate(groups.begin(), first, first + 1);
    return groups;
}

/// Every run as long as it ever was, so that the plan is below none of them.
std::vector<DraftedRun> longest_of(const AlikeVisits& group,
                                   std::vector<std::vector<DraftedRun>>& timelines) {
    std::vector<DraftedRun> timeline = timelines[group.longest];
    const auto rows = runs_of(timeline);
    for (const std::size_t n : group.visits) {
        const auto others = runs_of(timelines[n]);
        for (std::size_t row = 0; row < rows.size(); ++row)
            if (others[row]->duration > rows[row]->duration) *rows[row] = *others[row];
    }
    return timeline;
}

/// Makes plans of visits, and studies of who came several times.
class PlansOfVisits {
  public:
    PlansOfVisits(const std::string& folder, const std::vector<ScannedVisit>& visits,
                  std::vector<std::vector<DraftedRun>>& timelines, DraftedStudy& study)
        : folder_(folder), visits_(visits), timelines_(timelines), study_(study) {}

    void write() {
        const auto groups = grouped(visits_, timelines_);
        study_.plans.clear();
        for (const AlikeVisits& group : groups)
            add_plan(group, groups.size() == 1);
        add_studies();
    }

  private:
    void add_plan(const AlikeVisits& group, bool only) {
        const ScannedVisit& longest = visits_[group.longest];
        DraftedPlan plan{.timeline = longest_of(group, timelines_)};
        if (!study_.plans.empty()) plan.name = free_name("plan-" + longest.names().front());
        if (!only) plan.title = fmt::format("{}, {}", study_.title, longest.name());
        plan.about_timeline = {
            fmt::format("From scans that exist, {}, {}.", folder_, longest.name()),
            fmt::format("{}.", bids::scans_are_a_lower_bound)};
        std::vector<std::string> names;
        for (const std::size_t n : group.visits) {
            plan_of_[n] = plan.name;
            names.push_back(visits_[n].name());
            for (const std::string& session : visits_[n].names())
                plan.sessions.push_back(session);
        }
        for (const bids::Session* session : longest.sessions)
            plan.about_timeline.insert(plan.about_timeline.end(), session->notes.begin(),
                                       session->notes.end());
        if (names.size() > 1) {
            const std::string words = fmt::format(
                "{} visits are alike, the same runs in the same order: {}. Each run lasts as long "
                "as the longest of them; the pauses are those of {}",
                names.size(), few_of(names), longest.name());
            plan.about_timeline.push_back(words + ".");
            study_.notes.push_back(fmt::format("{}: {}", plan.name, words));
        } else if (!only) {
            study_.notes.push_back(fmt::format("{}: {}, with {} of scans", plan.name,
                                               longest.name(), text_of(longest.time())));
        }
        study_.plans.push_back(std::move(plan));
    }

    /// One for all whose visits have the same plans, as far apart.
    void add_studies() {
        const auto all = by_participant(visits_);
        for (const VisitsOfOne& one : all) {
            DraftedVisits visits{.name = {}, .participants = {one.participant}};
            for (std::size_t n = 0; n < one.visits.size(); ++n)
                visits.visits.push_back(
                    {plan_of_[one.visits[n]], visits_[one.visits[n]].title(), one.days_apart[n]});
            const auto same = std::ranges::find_if(study_.visits, [&](const DraftedVisits& other) {
                return std::ranges::equal(
                    other.visits, visits.visits, [](const auto& a, const auto& b) {
                        return a.plan == b.plan && a.days_apart == b.days_apart;
                    });
            });
            if (same == study_.visits.end()) {
                study_.visits.push_back(std::move(visits));
            } else {
                same->participants.push_back(one.participant);
            }
        }
        for (DraftedVisits& visits : study_.visits)
            name_study(visits);
    }

    void name_study(DraftedVisits& visits) {
        visits.name = study_.visits.size() == 1 ? std::string(name_of_visits)
                                                : free_name("study-" + visits.participants.front());
        const bool known = visits.visits.back().days_apart.has_value();
        study_.notes.push_back(fmt::format(
            "{}: the {} visits of {}, {}", visits.name, visits.visits.size(),
            few_of(visits.participants),
            known ? "as far apart as their dates, which may be shifted"
                  : "in the order of their names; no dates tell how far apart: a day, invented"));
    }

    std::string free_name(const std::string& name) {
        return files::file_name_of_card(name, taken_);
    }

    const std::string& folder_;
    const std::vector<ScannedVisit>& visits_;
    std::vector<std::vector<DraftedRun>>& timelines_;
    DraftedStudy& study_;
    std::map<std::size_t, std::string> plan_of_ = {};  ///< by place of the visit
    std::set<std::string> taken_ = {"plan", "study", "protectors", "site", "cards"};
};

/// Sorts of files that are not runs, with their numbers.
std::string ignored_words(const std::map<std::string, std::size_t>& ignored) {
    std::string text;
    for (const auto& [sort, number] : ignored)
        text += fmt::format("{}{} × {}", text.empty() ? "" : ", ", number, sort);
    return text;
}

/// What readers noted of each session, the same of several once.
void add_session_notes(const bids::Scans& scans, std::vector<std::string>& notes) {
    std::vector<std::pair<std::string, std::vector<std::string>>> all;
    for (const bids::Session& session : scans.sessions) {
        for (const std::string& note : session.notes) {
            const auto known = std::ranges::find(all, note, &decltype(all)::value_type::first);
            if (known == all.end()) {
                all.push_back({note, {session.name}});
            } else {
                known->second.push_back(session.name);
            }
        }
    }
    for (const auto& [note, sessions] : all)
        notes.push_back(scans.sessions.size() == 1 ? note
                                                   : fmt::format("{}: {}", few_of(sessions), note));
}

/// Lists what is more than files may hold.
void check_numbers(const std::string& folder, const DraftedStudy& study) {
    files::ErrorList errors;
    const auto check = [&](std::size_t number, std::size_t most, std::string_view what) {
        if (number > most)
            errors.add({{folder},
                        fmt::format("{} {}; accepted: at most {}, name the folder of one subject "
                                    "or session",
                                    number, what, most)});
    };
    check(study.plans.size() + study.visits.size() + study.sequences.size(), most_files_drafted,
          "plans, studies and cards of it");
    for (const DraftedPlan& plan : study.plans)
        check(plan.timeline.size(), files::most_timeline_rows,
              "runs and rests of " + plan.sessions.front());
    for (const DraftedVisits& visits : study.visits)
        check(visits.visits.size(), files::most_visits, "visits of " + visits.participants.front());
    errors.throw_if_any();
}

}  // namespace

void add_runs(const std::string& folder, const bids::Scans& scans,
              const std::vector<files::MatchRow>& matches, DraftedStudy& study) {
    study.notes.emplace_back(bids::scans_are_a_lower_bound);
    const std::vector<ScannedVisit> visits = visits_of(scans);
    ScannedTimelines reader(matches, study);
    std::vector<std::vector<DraftedRun>> timelines;
    for (const ScannedVisit& visit : visits)
        timelines.push_back(reader.timeline_of(visit));
    PlansOfVisits(folder, visits, timelines, study).write();
    add_session_notes(scans, study.notes);
    reader.finish();
    study.ignored = scans.ignored;
    if (!scans.ignored.empty())
        study.notes.push_back("passed over, since they are no runs: " +
                              ignored_words(scans.ignored));
    check_numbers(folder, study);
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
