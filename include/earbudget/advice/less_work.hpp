#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "earbudget/choice/phrases.hpp"
#include "earbudget/choice/work_size.hpp"
#include "earbudget/review/review.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget {

/// A question about plans, and how its answer is written.
struct AskedOfPlans {
    std::vector<Plan> plans;
    ReportAsked asked = {};
};

/// The same about sequences reviewed alike.
struct AskedOfCards {
    std::size_t cards = 0;
    ReviewTerms terms = {};
    ReportAsked asked = {};
};

template <class Asked>
using SizeOf = std::function<WorkSize(const Asked&)>;

/// Something less of a question.
template <class Asked>
struct LessWork {
    Message says;  ///< "22 people in one plan"
    Asked asked;   ///< the question with it
};

/// What of a question that is too much would do: each with a size that is within everything that
/// is accepted (part_of_accepted), as large as it may be, whichever people, rows or protectors
/// stay. First less of what there is most of; then no working, and the report as text. Where less
/// of one thing does not do, less of everything. Own choice.
[[nodiscard]] std::vector<LessWork<AskedOfPlans>> less_work(const AskedOfPlans& asked,
                                                            const SizeOf<AskedOfPlans>& size,
                                                            double most_report);
[[nodiscard]] std::vector<LessWork<AskedOfCards>> less_work(const AskedOfCards& asked,
                                                            const SizeOf<AskedOfCards>& size,
                                                            double most_report);

/// "for example 22 people in one plan, or --format text".
template <class Asked>
[[nodiscard]] Message said_of_less(const std::vector<LessWork<Asked>>& all) {
    std::vector<Message> ways;
    for (const LessWork<Asked>& one : all)
        ways.push_back(one.says);
    return ways.empty() ? say<WorkPhrase::LessOfEverything>() : say<WorkPhrase::ForExample>(ways);
}

}  // namespace earbudget
