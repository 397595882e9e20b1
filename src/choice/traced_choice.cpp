#include "choice/traced_choice.hpp"

#include <fmt/format.h>

#include "earbudget/choice/candidates.hpp"
#include "limits/traced.hpp"

namespace earbudget {

Working working_of(const Person& person, const RequiredReduction& required,
                   const RankedChoice& unprotected) {
    Trace trace;
    const auto add = [&](const std::string& what, const std::string& key, const Formula& formula,
                         const std::optional<LevelDifference>& value) {
        if (!value) return;
        StepOf step(what, {"required_reduction." + key}, formula);
        step.value("margin_without_protection_dB", unprotected.worst_margin)
            .value("derating", name_of(person.policy.rules.derating.kind));
        trace.leave(step.is(in_tenths(*value), "dB"));
    };
    add("reduction needed at the ear", "at_ear_dB", formula_of_required_reduction, required.at_ear);
    add("confident reduction needed at the ear", "confident_at_ear_dB",
        formula_of_required_reduction, required.confident_at_ear);
    const auto add_ratings = [&](const std::string& of, const std::string& key,
                                 const auto& ratings) {
        add("SNR needed" + of, key + "SNR_dB", formula_of_required_rating, ratings.SNR);
        add("NRR needed" + of, key + "NRR_dB", formula_of_required_rating, ratings.NRR);
        add("reduction needed in every octave band" + of, key + "every_octave_band_dB",
            formula_of_required_rating, ratings.every_band);
    };
    add_ratings("", "", required);
    for (std::size_t n = 0; n < required.by_type.size(); ++n) {
        const RequiredByType& type = required.by_type[n];
        add_ratings(fmt::format(" of a {}", name_of(type.type)), key_of("by_type", n, ""), type);
    }
    return trace.take();
}

void leave_scanning(const Plan& plan, const Person& person, const HearingDay& day,
                    const std::optional<LevelA>& level, const std::string& of, Trace& trace) {
    if (!level) return;
    StepOf step("LAeq at the ear while sequences run", {of}, formula_while_scanning);
    step.columns({"row", "L_dB", "t_s"});
    for (const HeardRow& row : day.rows) {
        if (row.sequence) step.row(words_of(plan, person, row), row.at_ear, row.time);
    }
    trace.leave(step.is(level, "dB(A)"));
}

}  // namespace earbudget
