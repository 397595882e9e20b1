// A study of any content, beside the demo's plan, is refused, or has visits that all have a plan
// and weeks that hold no more than seven of them.

#include <numeric>

#include "earbudget/advice/assess_study.hpp"
#include "files/text_inputs.hpp"
#include "files/visits_file.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/held.hpp"

using namespace earbudget;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {5.0, 1e-3, 64 << 20, 65536});
    const std::string path = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/read.toml";
    fuzz::use_or_refuse([&] {
        files::TextInputs inputs;
        const files::LoadedStudy loaded =
            files::read_study(fuzz::document_of(data, size, path), path, inputs);
        fuzz::hold(!loaded.study.visits.empty(), "there is a visit");
        fuzz::hold(loaded.plans.size() == loaded.study.visits.size(), "each visit has its plan");
        for (const Visit& visit : loaded.study.visits)
            fuzz::hold(!visit.plan.people.empty(), "somebody is there");
        for (const VisitsOfWeek& week : heaviest_weeks(loaded.study)) {
            const unsigned days = std::accumulate(week.begin(), week.end(), 0U);
            fuzz::hold(days >= 1 && days <= days_of_week, "a week has its days");
        }
    });
    return 0;
}
