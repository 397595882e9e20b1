#include "earbudget/review/review_checks.hpp"

#include <algorithm>

#include "earbudget/review/review.hpp"
#include "review/card_checks.hpp"

namespace earbudget {

std::vector<ReviewCheck> check_card(const Sequence& sequence) {
    std::vector<ReviewCheck> checks;
    check_origin(sequence, checks);
    check_measurement(sequence, checks);
    check_levels(sequence.levels, checks);
    return checks;
}

std::vector<const ReviewCheck*> checks_in(const std::vector<ReviewCheck>& checks,
                                          CheckState state) {
    std::vector<const ReviewCheck*> found;
    for (const ReviewCheck& check : checks) {
        if (check.state == state) found.push_back(&check);
    }
    return found;
}

const ReviewCheck* find_check(const std::vector<ReviewCheck>& checks, CheckCode code) {
    const auto found = std::ranges::find(checks, code, &ReviewCheck::code);
    return found == checks.end() ? nullptr : &*found;
}

std::optional<ReviewCheck> check_of_timing(const Sequence& sequence, const Sequence& replaced) {
    const std::string& now = sequence.origin.timing;
    const std::string& before = replaced.origin.timing;
    if (!now.empty() && now == before) return std::nullopt;
    if (now.empty() || before.empty()) {
        return ReviewCheck{CheckCode::TimingChanged, CheckState::Missing,
                           say<CheckPhrase::TimingUnknown>(), say<CheckPhrase::NameTiming>()};
    }
    return ReviewCheck{CheckCode::TimingChanged, CheckState::Doubtful,
                       say<CheckPhrase::TimingChanged>(before, now),
                       say<CheckPhrase::MeasureNewTiming>()};
}

}  // namespace earbudget
