#include "earbudget/decision/heard_row.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace earbudget {

namespace {

/// The place of a task; none: the participant's ear position.
struct Place {
    std::optional<std::size_t> position;
    bool door_open = false;
};

class Sounds {
  public:
    explicit Sounds(const Plan& plan) : plan_(plan) {}

    [[nodiscard]] std::optional<SoundLevels> background(const Place& place) const {
        if (!place.position) return plan_.background;
        const Transmission& transmission = at(place);
        if (transmission.background) return transmission.background;
        if (!plan_.background) return std::nullopt;
        return moved(*plan_.background, place, "[background]");
    }

    [[nodiscard]] SoundLevels sequence(std::size_t index, const Place& place) const {
        const Sequence& sequence = plan_.sequences[index];
        if (!place.position) return sequence.levels;
        const Transmission& transmission = at(place);
        const auto measured = transmission.measured.find(index);
        if (measured != transmission.measured.end()) return measured->second;
        const SoundLevels there = moved(sequence.levels, place, "\"" + sequence.id + "\"");
        return transmission.background ? together(there, *transmission.background) : there;
    }

  private:
    [[nodiscard]] const Transmission& at(const Place& place) const {
        return plan_.positions[*place.position].with(place.door_open);
    }

    [[nodiscard]] SoundLevels moved(const SoundLevels& sound, const Place& place,
                                    const std::string& name) const {
        const Transmission& transmission = at(place);
        auto there = sound_there(sound, transmission);
        if (!there) {
            const Position& position = plan_.positions[*place.position];
            throw InputError(
                position.stated_at,
                fmt::format("position \"{}\" has no level for {}: neither a card measured there "
                            "nor a difference that applies; accepted: difference_dB, differences "
                            "by octave band where the card has bands, or cards measured there",
                            position.id, name));
        }
        // The error of the difference is independent of that of the card.
        if (sound.uncertainty && transmission.uncertainty) {
            there->uncertainty = LevelDifference(
                std::hypot(sound.uncertainty->dB(), transmission.uncertainty->dB()));
        }
        return *std::move(there);
    }

    const Plan& plan_;
};

/// The rows of the timeline, or those of one sequence alone.
void add_timeline(const Plan& plan, const Sounds& sounds, const Place& place,
                  std::optional<std::size_t> only, HeardRow row, std::vector<HeardRow>& rows) {
    for (std::size_t i = 0; i < plan.timeline.size(); ++i) {
        const TimelineRow& stated = plan.timeline[i];
        if (only && stated.sequence != only) continue;
        row.timeline_row = i;
        row.sequence = stated.sequence;
        row.time = stated.time();
        row.repeat = stated.repeat;
        row.sound =
            stated.sequence ? sounds.sequence(*stated.sequence, place) : sounds.background(place);
        rows.push_back(row);
    }
}

void add_task(const Plan& plan, const Sounds& sounds, const Task& task, std::size_t index,
              std::vector<HeardRow>& rows) {
    const Place place{task.position, task.door_open};
    HeardRow row{.position = task.position, .task = index, .once_a_day = task.once_a_day};
    if (!task.duration) {
        add_timeline(plan, sounds, place, task.sequence, row, rows);
        return;
    }
    row.time = *task.duration;
    row.sequence = task.sequence;
    if (task.levels) {
        row.sound = task.levels;
    } else {
        row.sound =
            task.sequence ? sounds.sequence(*task.sequence, place) : sounds.background(place);
    }
    rows.push_back(std::move(row));
}

}  // namespace

std::vector<HeardRow> unprotected_rows(const Plan& plan, const Person& person) {
    const Sounds sounds(plan);
    std::vector<HeardRow> rows;
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
    return rows;
}

}  // namespace earbudget
