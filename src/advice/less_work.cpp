#include "earbudget/advice/less_work.hpp"

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

#include "earbudget/choice/homogeneous_groups.hpp"
#include "earbudget/computing/solver.hpp"
#include "earbudget/day/exposure_row.hpp"

namespace earbudget {

namespace {

/// Something that there can be less of.
template <class Asked>
struct Cut {
    std::size_t number;
    std::function<void(Asked&, std::size_t)> leave;
    std::function<Message(const Asked&)> says;  ///< of what is left
};

template <class Asked>
Asked with(const Asked& asked, const Cut<Asked>& cut, std::size_t number) {
    Asked less = asked;
    cut.leave(less, number);
    return less;
}

/// Those first that cost most, one of each kind before the next of any, so that no other choice of
/// as many costs more.
void leave_people(Plan& plan, std::size_t number) {
    std::vector<std::pair<double, std::vector<std::size_t>>> kinds;
    for (const PeopleAlike& group : homogeneous_groups(plan.people)) {
        const Person& first = plan.people[group.front()];
        kinds.emplace_back(static_cast<double>(number_of_rows(plan, first)) *
                               static_cast<double>(first.policy.criteria.size() + 1) *
                               first.sessions_per_day,
                           group);
    }
    std::ranges::stable_sort(kinds, std::ranges::greater(),
                             [](const auto& kind) { return kind.first; });
    std::vector<Person> left;
    for (std::size_t turn = 0; left.size() < std::min(number, plan.people.size()); ++turn) {
        for (const auto& [cost, people] : kinds) {
            if (turn < people.size() && left.size() < number)
                left.push_back(plan.people[people[turn]]);
        }
    }
    plan.people = std::move(left);
}

/// Those first that sound otherwise.
void leave_rows(Plan& plan, std::size_t number) {
    std::set<std::optional<std::size_t>> known;
    std::vector<TimelineRow> rows, again;
    for (const TimelineRow& row : plan.timeline)
        (known.insert(row.sequence).second ? rows : again).push_back(row);
    rows.insert(rows.end(), again.begin(), again.end());
    rows.resize(std::min(number, rows.size()));
    plan.timeline = std::move(rows);
}

/// Those for the role first.
void leave_criteria_for(Role role, std::vector<Criterion>& criteria, std::size_t number) {
    // Clang 14 does not compile what std::ranges::stable_partition gives.
    std::stable_partition(criteria.begin(), criteria.end(),
                          [role](const Criterion& criterion) { return criterion.is_for(role); });
    criteria.resize(std::min(number, criteria.size()), criteria.front());
}

void leave_criteria(Plan& plan, std::size_t number) {
    for (Person& person : plan.people)
        leave_criteria_for(person.role, person.policy.criteria, number);
}

/// Plugs and earmuffs by turns, so that no other choice of as many makes more pairs; all measured
/// pairs stay.
void leave_protectors(Catalogue& catalogue, std::size_t number) {
    std::vector<CatalogueEntry> plugs, muffs, others;
    for (const CatalogueEntry& entry : catalogue.protectors) {
        const Protector& one = entry.protector;
        (one.is_earmuff() ? muffs : one.goes_under_earmuff() ? plugs : others).push_back(entry);
    }
    std::vector<CatalogueEntry> left;
    for (std::size_t n = 0; n < std::max(plugs.size(), muffs.size()); ++n) {
        if (n < plugs.size()) left.push_back(plugs[n]);
        if (n < muffs.size()) left.push_back(muffs[n]);
    }
    left.insert(left.end(), others.begin(), others.end());
    left.resize(std::min(number, left.size()));
    catalogue.protectors = std::move(left);
}

Message words_of_protectors(const Catalogue& catalogue) {
    const auto muffs = std::ranges::count_if(
        catalogue.protectors, [](const auto& entry) { return entry.protector.is_earmuff(); });
    const auto plugs = std::ranges::count_if(catalogue.protectors, [](const auto& entry) {
        return entry.protector.goes_under_earmuff();
    });
    return muffs == 0 || plugs == 0
               ? say<WorkPhrase::ProtectorsInCatalogue>(catalogue.protectors.size())
               : say<WorkPhrase::PlugsAndEarmuffs>(plugs, muffs);
}

std::size_t largest_criteria(const Plan& plan) {
    std::size_t most = 0;
    for (const Person& person : plan.people)
        most = std::max(most, person.policy.criteria.size());
    return most;
}

using PlanCut = Cut<AskedOfPlans>;

/// The same of each plan.
template <WorkPhrase phrase>
PlanCut plan_cut(const AskedOfPlans& asked, std::size_t (*number)(const Plan&),
                 void (*leave)(Plan&, std::size_t)) {
    const auto most = [number](const AskedOfPlans& of) {
        std::size_t largest = 0;
        for (const Plan& plan : of.plans)
            largest = std::max(largest, number(plan));
        return largest;
    };
    return {most(asked),
            [leave](AskedOfPlans& less, std::size_t left) {
                for (Plan& plan : less.plans)
                    leave(plan, left);
            },
            [most](const AskedOfPlans& less) { return say<phrase>(most(less)); }};
}

std::vector<PlanCut> cuts_of(const AskedOfPlans& asked) {
    std::vector<PlanCut> cuts;
    cuts.push_back(plan_cut<WorkPhrase::PeopleInOnePlan>(
        asked, [](const Plan& plan) { return plan.people.size(); }, leave_people));
    cuts.push_back(plan_cut<WorkPhrase::TimelineRows>(
        asked, [](const Plan& plan) { return plan.timeline.size(); }, leave_rows));
    cuts.push_back(plan_cut<WorkPhrase::Criteria>(asked, largest_criteria, leave_criteria));
    cuts.push_back(plan_cut<WorkPhrase::ProtectorsInCatalogue>(
        asked, [](const Plan& plan) { return plan.catalogue.protectors.size(); },
        [](Plan& plan, std::size_t left) { leave_protectors(plan.catalogue, left); }));
    cuts.back().says = [](const AskedOfPlans& less) {
        const auto most = std::ranges::max_element(
            less.plans, {}, [](const Plan& plan) { return plan.catalogue.protectors.size(); });
        return words_of_protectors(most->catalogue);
    };
    return cuts;
}

std::vector<Cut<AskedOfCards>> cuts_of(const AskedOfCards& asked) {
    return {{asked.cards,
             [](AskedOfCards& less, std::size_t left) { less.cards = std::min(less.cards, left); },
             [](const AskedOfCards& less) { return say<WorkPhrase::CardsAtOnce>(less.cards); }},
            {asked.terms.catalogue ? asked.terms.catalogue->protectors.size() : 0,
             [](AskedOfCards& less, std::size_t left) {
                 if (less.terms.catalogue) leave_protectors(*less.terms.catalogue, left);
             },
             [](const AskedOfCards& less) { return words_of_protectors(*less.terms.catalogue); }},
            {asked.terms.policy.criteria.size(),
             [](AskedOfCards& less, std::size_t left) {
                 leave_criteria_for(less.terms.role, less.terms.policy.criteria, left);
             },
             [](const AskedOfCards& less) {
                 return say<WorkPhrase::CriteriaOfTerms>(less.terms.policy.criteria.size());
             }}};
}

/// The most of one thing that fits, all else as it is; none where not even 1 does.
template <class Asked, class Fits>
std::optional<Asked> most_that_fits(const Asked& asked, const Cut<Asked>& cut, const Fits& fits) {
    if (cut.number < 2 || !fits(with(asked, cut, 1))) return std::nullopt;
    const auto keeps = [&](std::size_t number) { return fits(with(asked, cut, number)); };
    return with(asked, cut, last_that_keeps<std::size_t>(1, cut.number, keeps, {1}));
}

/// Less of everything, half of what does not fit.
template <class Asked, class Fits>
std::optional<LessWork<Asked>> less_of_all(const Asked& asked, const std::vector<Cut<Asked>>& cuts,
                                           const Fits& fits) {
    for (std::size_t part = 2; part <= 4096; part *= 2) {
        LessWork<Asked> less{{}, asked};
        std::vector<Message> says;
        for (const Cut<Asked>& cut : cuts) {
            if (cut.number < 2) continue;
            cut.leave(less.asked, std::max<std::size_t>(cut.number / part, 1));
            says.push_back(cut.says(less.asked));
        }
        less.says = say<WorkPhrase::AllOf>(says);
        if (fits(less.asked)) return less;
    }
    return std::nullopt;
}

template <class Asked>
std::vector<LessWork<Asked>> less_of(const Asked& asked, const SizeOf<Asked>& size,
                                     double most_report) {
    const auto fits = [&](const Asked& less) {
        return part_of_accepted(size(less), most_report) <= 1.0;
    };
    std::vector<Cut<Asked>> cuts = cuts_of(asked);
    std::vector<LessWork<Asked>> all;
    std::ranges::stable_sort(cuts, std::ranges::greater(), &Cut<Asked>::number);
    for (const Cut<Asked>& cut : cuts) {
        if (!all.empty()) break;
        if (auto less = most_that_fits(asked, cut, fits)) {
            const Message says = cut.says(*less);
            all.push_back({says, *std::move(less)});
        }
    }
    Asked otherwise = asked;
    otherwise.asked.working = false;
    if (asked.asked.working && fits(otherwise))
        all.push_back({say<WorkPhrase::NoWorking>(), otherwise});
    otherwise = asked;
    otherwise.asked.form = ReportAsked::Form::Text;
    if (asked.asked.form != otherwise.asked.form && fits(otherwise))
        all.push_back({say<WorkPhrase::AsText>(), otherwise});
    if (!all.empty()) return all;
    if (auto less = less_of_all(asked, cuts, fits)) all.push_back(*std::move(less));
    return all;
}

}  // namespace

std::vector<LessWork<AskedOfPlans>> less_work(const AskedOfPlans& asked,
                                              const SizeOf<AskedOfPlans>& size,
                                              double most_report) {
    return less_of(asked, size, most_report);
}

std::vector<LessWork<AskedOfCards>> less_work(const AskedOfCards& asked,
                                              const SizeOf<AskedOfCards>& size,
                                              double most_report) {
    return less_of(asked, size, most_report);
}

}  // namespace earbudget
