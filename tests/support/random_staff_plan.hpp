#pragma once

#include <algorithm>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "support/random_plan.hpp"

namespace earbudget::test {

/// Draws what random plans are made of.
class Draw {
  public:
    explicit Draw(std::mt19937& random) : random_(random) {}

    [[nodiscard]] std::mt19937& random() const { return random_; }
    [[nodiscard]] double between(double low, double high) const {
        return std::uniform_real_distribution<double>(low, high)(random_);
    }
    [[nodiscard]] unsigned whole(unsigned low, unsigned high) const {
        return std::uniform_int_distribution<unsigned>(low, high)(random_);
    }
    [[nodiscard]] bool chance(double probability) const { return between(0.0, 1.0) < probability; }

  private:
    std::mt19937& random_;
};

/// Other noise, with all that a method can ask for.
inline SoundLevels random_noise(const Draw& draw, double shift) {
    SoundLevels noise = random_sequence(draw.random(), "noise").levels;
    return noise.shifted(LevelDifference(shift));
}

inline Transmission random_transmission(const Plan& plan, const Draw& draw, double quietest,
                                        double loudest) {
    Transmission there{.difference = LevelDifference(draw.between(quietest, loudest)),
                       .uncertainty = LevelDifference(draw.between(0.2, 1.5))};
    if (draw.chance(0.5)) {
        for (const OctaveBand band : octave_bands)
            there.octave_difference.emplace(band, LevelDifference(draw.between(quietest, loudest)));
    }
    if (draw.chance(0.4)) there.background = random_noise(draw, -35.0);
    if (draw.chance(0.4)) {
        there.measured.emplace(
            0, plan.sequences[0].levels.shifted(LevelDifference(draw.between(quietest, loudest))));
    }
    return there;
}

inline Task random_task(const Plan& plan, const Draw& draw) {
    Task task{.position = draw.whole(0, 2), .once_a_day = draw.chance(0.3)};
    task.door_open = task.position == 1U && draw.chance(0.5);
    const unsigned kind = draw.whole(0, 2);
    task.duration = Seconds(draw.between(30.0, 1800.0));
    if (kind == 0) {
        task.sequence = draw.whole(0, 2);
        // As long as the timeline runs it: "c" it never does.
        if (task.sequence != 2U && draw.chance(0.5)) task.duration = std::nullopt;
    }
    if (kind == 1) task.levels = random_noise(draw, draw.between(-35.0, -15.0));
    if (draw.chance(0.3)) {
        const char* choices[] = {"plug", "muff"};
        task.wears.emplace();
        if (draw.chance(0.8)) task.wears->emplace_back(choices[draw.whole(0, 1)]);
        if (!task.wears->empty() && draw.chance(0.5)) {
            task.wearing.fraction_of_time = draw.between(0.8, 1.0);
        }
    }
    if (plan.positions.empty()) task.position = std::nullopt;
    return task;
}

/// Some of the published criteria that are for the role, at least one; by the week where that is
/// permitted, now and then.
inline std::vector<Criterion> random_criteria(Role role, const Draw& draw) {
    std::vector<Criterion> chosen;
    std::vector<Criterion> possible;
    for (const Criterion& criterion : published_criteria()) {
        if (criterion.is_for(role)) possible.push_back(criterion);
    }
    for (const Criterion& criterion : possible) {
        if (!draw.chance(0.45)) continue;
        chosen.push_back(draw.chance(0.3) ? averaged_over_week(criterion) : criterion);
    }
    if (chosen.empty()) {
        chosen.push_back(possible[draw.whole(0, static_cast<unsigned>(possible.size()) - 1)]);
    }
    return chosen;
}

inline void wear_something(Person& person, const Draw& draw) {
    if (draw.chance(0.35)) return;
    person.wears.emplace_back(draw.chance(0.5) ? "plug" : "muff");
    if (draw.chance(0.3)) person.wearing.fraction_of_time = draw.between(0.6, 1.0);
    if (draw.chance(0.1)) person.wearing.poor_fit = true;
    if (draw.chance(0.15)) {
        person.PAR = LevelDifference(draw.between(8.0, 30.0));
        person.PAR_uncertainty = LevelDifference(draw.between(0.5, 3.0));
    }
}

inline Person random_person(const Plan& plan, const Draw& draw) {
    constexpr Role roles[] = {Role::Staff, Role::Staff, Role::Participant, Role::Accompanying};
    Person person{.id = "person", .role = roles[draw.whole(0, 3)]};
    wear_something(person, draw);
    person.sessions_per_day = draw.whole(1, 6);
    if (draw.chance(0.6)) person.days_per_week = draw.between(0.5, 5.0);
    if (person.role != Role::Participant && draw.chance(0.8)) {
        person.tasks.push_back({.position = draw.whole(0, 2)});
        if (draw.chance(0.2)) {
            person.tasks.push_back({.position = draw.whole(0, 2), .once_a_day = true});
        }
    }
    const unsigned others = draw.whole(person.tasks.empty() ? 1 : 0, 3);
    for (unsigned i = 0; i < others; ++i)
        person.tasks.push_back(random_task(plan, draw));
    person.policy.criteria = random_criteria(person.role, draw);
    return person;
}

/// A plan with three positions and one person of any role: sessions, tasks once a day and once a
/// session, repeats and rests, protectors per task, some of all published criteria, and a stated
/// uncertainty on all levels.
inline Plan random_staff_plan(std::mt19937& random) {
    const Draw draw(random);
    Plan plan = random_plan(random);
    const double shift = draw.between(-22.0, 6.0);
    for (Sequence& sequence : plan.sequences)
        sequence.levels = sequence.levels.shifted(LevelDifference(shift));
    for (TimelineRow& row : plan.timeline) {
        row.duration = Seconds(draw.between(30.0, 600.0));
        row.repeat = draw.whole(1, 8);
    }
    plan.positions = {{.id = "beside", .door_shut = random_transmission(plan, draw, -8.0, 3.0)},
                      {.id = "door", .door_shut = random_transmission(plan, draw, -20.0, -10.0)},
                      {.id = "control", .door_shut = random_transmission(plan, draw, -45.0, -8.0)}};
    plan.positions[1].door_open = random_transmission(plan, draw, -12.0, -4.0);
    plan.people = {random_person(plan, draw)};
    return plan;
}

}  // namespace earbudget::test
