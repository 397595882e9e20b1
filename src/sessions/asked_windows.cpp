#include "sessions/asked_windows.hpp"

#include <algorithm>
#include <utility>

#include "earbudget/computing/add_once.hpp"
#include "earbudget/day/criteria_of_person.hpp"

namespace earbudget::sessions {

namespace {

bool are_same(const std::vector<Heard>& one, const std::vector<Heard>& other) {
    return std::ranges::equal(one, other, [](const Heard& a, const Heard& b) {
        return a.entry == b.entry && a.when == b.when && a.exposure == b.exposure;
    });
}

void add_new(const std::vector<Criterion>& some, std::vector<Criterion>& all) {
    for (const Criterion& one : some)
        add_once(one, all);
}

/// The more cautious of two ways to judge the same person.
void add(const Person& other, std::optional<Person>& person) {
    if (!person) {
        person = other;
        return;
    }
    Policy& policy = person->policy;
    policy.accepted_probability =
        std::min(policy.accepted_probability, other.policy.accepted_probability);
    person->age_group = std::max(person->age_group, other.age_group);
    add_new(other.policy.criteria, policy.criteria);
}

/// Hours are asked of what was recorded on the day.
Window recorded_in(const Criterion& criterion) {
    const Window window = window_of(criterion);
    return window == Window::Hour ? Window::Day : window;
}

}  // namespace

std::optional<Person> judged_as(std::span<const Heard> parts, Role role) {
    std::optional<Person> person;
    const ExposureRecord* last = nullptr;
    for (const Heard& part : parts) {
        const ExposureRecord* const record = part.exposure.get();
        if (!record || record == last || record->role != role) continue;
        last = record;
        Person one{.id = {}, .role = role};
        one.policy.accepted_probability = record->accepted_probability;
        one.policy.criteria = record->criteria;
        one.age_group = record->age_group;
        add(one, person);
    }
    return person;
}

std::optional<Person> judged_in(const std::vector<AskedWindow>& windows,
                                std::span<const Heard> asked_about, Role role) {
    std::optional<Person> person = judged_as(asked_about, role);
    for (const AskedWindow& asked : windows) {
        if (asked.window == Window::Hour) continue;
        auto there = judged_as(asked.parts, role);
        if (!there) continue;
        std::erase_if(there->policy.criteria, [&](const Criterion& criterion) {
            // A limit on peaks is one on the day, whatever its exposure is counted over.
            return recorded_in(criterion) != asked.window &&
                   !(criterion.peak && asked.window == Window::Day);
        });
        add(*there, person);
    }
    return person;
}

std::optional<Person> averaged_in(const AskedWindow& week, Role role) {
    std::optional<Person> person = judged_as(week.parts, role);
    if (!person) return person;
    std::vector<Criterion> weekly;
    for (const Criterion& criterion : person->policy.criteria)
        if (criterion.allows_weekly_average) add_new({averaged_over_week(criterion)}, weekly);
    person->policy.criteria = std::move(weekly);
    return person;
}

std::vector<AskedWindow> questions_of(const std::vector<AskedWindow>& windows,
                                      const Person& person) {
    std::vector<AskedWindow> all;
    for (const AskedWindow& window : windows) {
        AskedWindow asked = window;
        for (std::size_t n = 0; n < person.policy.criteria.size(); ++n)
            if (window_of(person.policy.criteria[n]) == window.window) asked.criteria.push_back(n);
        if (asked.criteria.empty()) continue;
        const auto day = std::ranges::find(all, Window::Day, &AskedWindow::window);
        if (asked.window == Window::Hour && day != all.end() && are_same(day->parts, asked.parts)) {
            day->window = Window::Hour;
            day->criteria.insert(day->criteria.end(), asked.criteria.begin(), asked.criteria.end());
            std::ranges::sort(day->criteria);
            continue;
        }
        all.push_back(std::move(asked));
    }
    return all;
}

Person with_criteria(const Person& person, const std::vector<std::size_t>& which) {
    Person some = person;
    some.policy.criteria.clear();
    for (const std::size_t n : which)
        some.policy.criteria.push_back(person.policy.criteria[n]);
    return some;
}

Person with_deciding(const Person& person, const std::vector<std::size_t>& which) {
    std::vector<std::size_t> deciding;
    for (const std::size_t n : which)
        if (decides(person.policy.criteria[n], person)) deciding.push_back(n);
    return with_criteria(person, deciding);
}

DrawSettings draws_of(std::span<const Heard> parts) {
    for (auto part = parts.rbegin(); part != parts.rend(); ++part)
        if (part->exposure) return part->exposure->draws;
    return {};
}

}  // namespace earbudget::sessions
