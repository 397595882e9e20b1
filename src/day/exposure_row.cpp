#include "earbudget/day/exposure_row.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "earbudget/day/warning.hpp"

namespace earbudget {

namespace {

/// The place of a task; none: the participant's ear position.
struct Place {
    std::optional<std::size_t> position;
    bool door_open = false;

    bool operator==(const Place&) const = default;
};

using Sound = std::shared_ptr<const SoundLevels>;

/// What is heard at the places of a plan, each sound made once.
class Sounds {
  public:
    explicit Sounds(const Plan& plan) : plan_(plan) {}

    /// The first position that says nothing about something heard there; its sound is then missing.
    [[nodiscard]] const std::optional<Obstacle>& obstacle() const { return obstacle_; }

    /// Of a sequence, or of the background; null where the plan says nothing about that.
    [[nodiscard]] Sound at(const Place& place, std::optional<std::size_t> sequence) {
        std::optional<Sound>& known = known_at(place)[sequence ? *sequence + 1 : 0];
        if (!known) {
            auto levels = sequence ? this->sequence(*sequence, place) : background(place);
            known = levels ? std::make_shared<const SoundLevels>(*std::move(levels)) : nullptr;
        }
        return *known;
    }

    /// A background there that a sequence's sound does not hold already.
    [[nodiscard]] std::optional<LevelA> unreduced(const Place& place, std::size_t sequence) {
        if (!place.position || at(place).measured.contains(sequence)) return std::nullopt;
        const auto& background = at(place).background;
        const bool held = background && can_be_added(*background, plan_.sequences[sequence].levels);
        return background && !held ? std::optional(background->LAeq) : std::nullopt;
    }

  private:
    [[nodiscard]] std::optional<SoundLevels> background(const Place& place) {
        if (!place.position) return plan_.background;
        const Transmission& transmission = at(place);
        if (transmission.background) return transmission.background;
        if (!plan_.background) return std::nullopt;
        return moved(*plan_.background, place, as_it_stands("[background]"));
    }

    [[nodiscard]] std::optional<SoundLevels> sequence(std::size_t index, const Place& place) {
        const Sequence& sequence = plan_.sequences[index];
        if (!place.position) return sequence.levels;
        const Transmission& transmission = at(place);
        const auto measured = transmission.measured.find(index);
        if (measured != transmission.measured.end()) return measured->second;
        auto there = moved(sequence.levels, place, say<WarningPhrase::Quoted>(sequence.id));
        const auto& background = transmission.background;
        if (!there || !background || !can_be_added(*background, *there)) return there;
        return together(*there, *background);
    }

    [[nodiscard]] const Transmission& at(const Place& place) const {
        return plan_.positions[*place.position].with(place.door_open);
    }

    [[nodiscard]] std::optional<SoundLevels> moved(const SoundLevels& sound, const Place& place,
                                                   const Message& name) {
        const Transmission& transmission = at(place);
        auto there = sound_there(sound, transmission);
        if (!there) {
            const Position& position = plan_.positions[*place.position];
            if (obstacle_) return std::nullopt;
            obstacle_.emplace(position.stated_at,
                              say<ObstaclePhrase::NoLevelAtPosition>(position.id, name));
            return std::nullopt;
        }
        // The error of the difference is independent of that of the card.
        if (sound.uncertainty && transmission.uncertainty) {
            there->uncertainty = LevelDifference(
                std::hypot(sound.uncertainty->dB(), transmission.uncertainty->dB()));
            there->uncertainty_parts = std::nullopt;
        }
        return there;
    }

    /// The background, then each sequence.
    using SoundsThere = std::vector<std::optional<Sound>>;

    SoundsThere& known_at(const Place& place) {
        for (auto& [there, sounds] : known_) {
            if (there == place) return sounds;
        }
        return known_.emplace_back(place, SoundsThere(plan_.sequences.size() + 1)).second;
    }

    const Plan& plan_;
    std::vector<std::pair<Place, SoundsThere>> known_;
    std::optional<Obstacle> obstacle_;
};

/// The rows of the timeline, or those of one sequence alone.
void add_timeline(const Plan& plan, Sounds& sounds, const Place& place,
                  std::optional<std::size_t> only, ExposureRow row,
                  std::vector<ExposureRow>& rows) {
    for (std::size_t i = 0; i < plan.timeline.size(); ++i) {
        const TimelineRow& stated = plan.timeline[i];
        if (only && stated.sequence != only) continue;
        row.timeline_row = i;
        row.sequence = stated.sequence;
        row.time = stated.time();
        row.repeat = stated.repeat;
        row.reinsert = stated.reinsert;
        row.sound = sounds.at(place, stated.sequence);
        row.unreduced = stated.sequence ? sounds.unreduced(place, *stated.sequence) : std::nullopt;
        rows.push_back(row);
    }
}

void add_task(const Plan& plan, Sounds& sounds, const Task& task, std::size_t index,
              std::vector<ExposureRow>& rows) {
    const Place place{task.position, task.door_open};
    ExposureRow row{.position = task.position, .task = index, .once_a_day = task.once_a_day};
    if (!task.duration) {
        add_timeline(plan, sounds, place, task.sequence, row, rows);
        return;
    }
    row.time = *task.duration;
    row.sequence = task.sequence;
    row.sound = task.levels ? std::make_shared<const SoundLevels>(*task.levels)
                            : sounds.at(place, task.sequence);
    if (task.sequence) row.unreduced = sounds.unreduced(place, *task.sequence);
    rows.push_back(std::move(row));
}

// Of what rounding leaves nothing of.
constexpr LevelA lowest_level{lowest_level_dB};

}  // namespace

LevelA ExposureRow::with_unreduced(LevelA level) const {
    if (!unreduced) return level;
    return *level_of_relative_energy<quantity::AWeighted>(relative_energy(level) +
                                                          relative_energy(*unreduced));
}

LevelA ExposureRow::without_unreduced(LevelA level) const {
    if (!unreduced) return level;
    const double rest = relative_energy(level) - relative_energy(*unreduced);
    return level_of_relative_energy<quantity::AWeighted>(rest).value_or(lowest_level);
}

std::size_t number_of_rows(const Plan& plan, const Person& person) {
    const auto of_timeline = [&](std::optional<std::size_t> only) {
        if (!only) return plan.timeline.size();
        return static_cast<std::size_t>(
            std::ranges::count(plan.timeline, only, &TimelineRow::sequence));
    };
    std::size_t rows = person.role == Role::Participant ? plan.timeline.size() : 0;
    for (const Task& task : person.tasks)
        rows += task.duration ? 1 : of_timeline(task.sequence);
    return rows;
}

Result<std::vector<ExposureRow>> unprotected_rows(const Plan& plan, const Person& person) {
    Sounds sounds(plan);
    std::vector<ExposureRow> rows;
    for (const bool once_a_day : {true, false}) {
        if (!once_a_day && person.role == Role::Participant) {
            add_timeline(plan, sounds, {}, std::nullopt, {}, rows);
        }
        for (std::size_t i = 0; i < person.tasks.size(); ++i) {
            if (person.tasks[i].once_a_day == once_a_day) {
                add_task(plan, sounds, person.tasks[i], i, rows);
            }
        }
    }
    if (sounds.obstacle()) return *sounds.obstacle();
    return rows;
}

}  // namespace earbudget
