#include "earbudget/choice/shares.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "earbudget/choice/phrases.hpp"

namespace earbudget {

namespace {

double energy_of(const ExposureDay& day, const ExposureRow& row) {
    if (!row.at_ear) return 0.0;
    return relative_energy(*row.at_ear) * row.time.count() *
           static_cast<double>(day.times_a_day(row));
}

double energy_of(const ExposureDay& day) {
    double all = 0.0;
    for (const ExposureRow& row : day.rows)
        all += energy_of(day, row);
    return all;
}

void complete(std::vector<Share>& shares, const std::vector<double>& energies, double all) {
    for (std::size_t i = 0; i < shares.size(); ++i) {
        const double part = all > 0.0 ? energies[i] / all : 0.0;
        shares[i].percent = 100.0 * part;
        if (part < 1.0) shares[i].drop = LevelDifference(-10.0 * std::log10(1.0 - part));
    }
    std::ranges::stable_sort(shares, std::ranges::greater(), &Share::percent);
}

template <class Key>
std::vector<Share> shares_by(const ExposureDay& day, Key key) {
    std::vector<Share> shares;
    std::vector<double> energies;
    std::map<std::optional<std::size_t>, std::size_t> known;
    for (const ExposureRow& row : day.rows) {
        const auto [place, is_new] = known.emplace(key(row), shares.size());
        if (is_new) {
            shares.emplace_back();
            energies.push_back(0.0);
        }
        energies[place->second] += energy_of(day, row);
    }
    for (const auto& [value, index] : known)
        shares[index].sequence = value;
    complete(shares, energies, energy_of(day));
    return shares;
}

class Changes {
  public:
    explicit Changes(std::optional<LevelA> now) : now_(now) {}

    void consider(Message says, std::optional<LevelDifference> drop) {
        if (drop && *drop > LevelDifference(0.05) && (!best_ || *drop > best_->drop)) {
            best_ = Change{std::move(says), *drop};
        }
    }
    void consider(Message says, const ExposureDay& instead) {
        consider(std::move(says), daily_exposure_level(instead.at_ear()));
    }
    void consider(Message says, std::optional<LevelA> then) {
        if (now_ && then) consider(std::move(says), *now_ - *then);
    }
    [[nodiscard]] const std::optional<Change>& best() const { return best_; }

  private:
    std::optional<LevelA> now_;
    std::optional<Change> best_;
};

void consider_wearing(const Plan& plan, const Person& person, Changes& changes) {
    const Wearing& wearing = person.wearing;
    if (person.wears.empty()) return;
    if (wearing.fraction_of_time < 1.0) {
        changes.consider(say<ChoicePhrase::WornAllTheTime>(),
                         day_exposure(plan, person, person.wears, {1.0, wearing.poor_fit}));
    }
}

Message without_task(const Plan& plan, const Task& task, std::size_t index) {
    if (!task.title.empty()) return say<ChoicePhrase::WithoutTask>(task.title);
    if (task.position) return say<ChoicePhrase::WithoutTimeAt>(plan.positions[*task.position].id);
    return say<ChoicePhrase::WithoutTaskNumber>(index + 1);
}

}  // namespace

std::vector<Share> shares_of_sequences(const ExposureDay& day) {
    return shares_by(day, [](const ExposureRow& row) { return row.sequence; });
}

std::vector<Share> shares_of_tasks(const ExposureDay& day) {
    const bool any =
        std::ranges::any_of(day.rows, [](const ExposureRow& row) { return !!row.task; });
    if (!any) return {};
    auto shares = shares_by(day, [](const ExposureRow& row) { return row.task; });
    for (Share& share : shares) {
        share.task = share.sequence;
        share.sequence = std::nullopt;
    }
    return shares;
}

std::optional<Change> largest_change(const Plan& plan, const Person& person, const ExposureDay& day,
                                     const Candidates& candidates) {
    Changes changes(daily_exposure_level(day.at_ear()));
    for (const Share& share : shares_of_sequences(day)) {
        if (!share.sequence) continue;
        changes.consider(say<ChoicePhrase::Without>(plan.sequences[*share.sequence].id),
                         share.drop);
    }
    for (const Share& share : shares_of_tasks(day)) {
        if (!share.task) continue;
        changes.consider(without_task(plan, person.tasks[*share.task], *share.task), share.drop);
    }
    if (day.sessions > 1) {
        ExposureDay one = day;
        one.sessions = 1;
        changes.consider(say<ChoicePhrase::OneSessionADay>(), one);
    }
    consider_wearing(plan, person, changes);
    for (const Candidate& candidate : candidates.tried) {
        changes.consider(
            say<ChoicePhrase::WearingInstead>(candidate.wears, !candidate.stated_metal_free),
            candidate.at_ear_LEX_8h);
    }
    std::optional<Change> best = changes.best();
    if (best && candidates.left_out > 0) {
        best->says = say<ChoicePhrase::LargestOfTried>(best->says, candidates.left_out);
    }
    return best;
}

}  // namespace earbudget
