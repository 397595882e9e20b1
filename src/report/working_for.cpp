#include "report/working_for.hpp"

#include <algorithm>
#include <iterator>

#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using Ids = std::vector<std::string>;

bool holds(const Ids& ids, const std::string& id) {
    return std::ranges::find(ids, id) != ids.end();
}

bool are_about(const WorkingStep& step, const Ids& topics) {
    return std::ranges::any_of(step.about,
                               [&](const std::string& id) { return holds(topics, id); });
}

}  // namespace

WorkingFor WorkingFor::of(const Ids& ids, const Ids& people, const Ids& topics) {
    WorkingFor wanted;
    for (const std::string& id : ids) {
        const bool is_person = holds(people, id);
        Ids& list = !is_person ? wanted.topics : holds(topics, id) ? wanted.both : wanted.people;
        if (!holds(list, id)) list.push_back(id);
    }
    return wanted;
}

bool WorkingFor::names(const std::string& person) const {
    return holds(people, person) || holds(both, person);
}

bool WorkingFor::wants(const std::string& person) const {
    // An id that is both may be meant as no person.
    return people.empty() || names(person);
}

Working WorkingFor::of_person(const std::string& person, const Working& working) const {
    const bool named = holds(people, person);
    const bool nobody_named = people.empty();
    Working asked;
    std::ranges::copy_if(working, std::back_inserter(asked), [&](const WorkingStep& step) {
        // Those that are both as people, then as what the step is about.
        const bool as_people = (nobody_named && both.empty()) || names(person);
        const bool about = topics.empty() || are_about(step, topics);
        const bool as_topics = !both.empty() && (nobody_named || named) &&
                               (are_about(step, both) || are_about(step, topics));
        return (as_people && about) || as_topics;
    });
    return asked;
}

Working asked_working(const Record& record, const Ids& ids, const Working& whole) {
    const WorkingFor& asked = record.working_for;
    const auto named =
        std::ranges::find_if(ids, [&](const std::string& id) { return asked.names(id); });
    const std::string& id = named == ids.end() ? ids.front() : *named;
    if (!record.with_working || !asked.wants(id)) return {};
    return asked.of_person(id, whole);
}

Working asked_working(const Record& record, const Ids& ids,
                      const std::shared_ptr<const Working>& whole) {
    return whole ? asked_working(record, ids, *whole) : Working();
}

}  // namespace earbudget::report
