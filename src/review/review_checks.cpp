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
    ReviewCheck check{
        .code = CheckCode::TimingChanged,
        .state = now.empty() || before.empty() ? CheckState::Missing : CheckState::Doubtful,
        .text =
            "whether the timing changed cannot be told, since not both cards "
            "name it",
        .to_do = "name the timing on both cards"};
    if (check.state == CheckState::Doubtful) {
        check.text = "the timing changed, from \"" + before + "\" to \"" + now + "\"";
        check.to_do = "measure with the new timing; levels found with the other one do not hold";
    }
    return check;
}

}  // namespace earbudget
