#include "earbudget/limits/unmeasured.hpp"

#include <algorithm>

#include "earbudget/computing/add_once.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/row_peak.hpp"

namespace earbudget {

std::vector<Message> unmeasured_in(const Plan& plan, const Person& person, const ExposureDay& day) {
    std::vector<Message> all;
    for (const ExposureRow& row : day.rows) {
        if (!row.sequence || !row.sound || !(row.time.count() > 0.0)) continue;
        const auto add = [&all](const std::string& id, const Origin& origin) {
            if (may_be_within(origin)) return;
            add_once(say<RemarkPhrase::NotMeasuredOne>(id, origin.how), all);
        };
        const Sequence& sequence = plan.sequences[*row.sequence];
        add(sequence.id, card_behind(plan, person, row).origin);
        // Whose bands it has, by which the reduction goes.
        const auto lender =
            std::ranges::find(plan.sequences, sequence.spectrum_like, &Sequence::id);
        if (!sequence.spectrum_like.empty() && lender != plan.sequences.end())
            add(lender->id, lender->origin);
    }
    return all;
}

std::vector<Message> examples_in(const Plan& plan, const Person& person,
                                 const std::vector<std::string>& wears, const ExposureDay& day) {
    std::vector<Message> all;
    if (plan.examples.empty()) return all;
    const auto add = [&](const SourcePosition& where, Message one) {
        const bool is_example =
            std::ranges::find(plan.examples, where.file.text()) != plan.examples.end();
        if (is_example) add_once(std::move(one), all);
    };
    bool hears_background = false;
    for (const ExposureRow& row : day.rows) {
        if (row.sequence && row.sound) {
            const Sequence& card = plan.sequences[*row.sequence];
            // Of others unmeasured_in tells.
            if (may_be_within(card_behind(plan, person, row).origin))
                add(card.stated_at, say<RemarkPhrase::ExampleLevels>(card.id));
        }
        if (row.position) {
            const Position& place = plan.positions[*row.position];
            add(place.stated_at, say<RemarkPhrase::ExamplePosition>(place.id));
        } else {
            hears_background = hears_background || (!row.sequence && row.sound);
        }
    }
    if (hears_background) add(plan.background_stated_at, say<RemarkPhrase::ExampleBackground>());
    for (const std::string& id : wears)
        add(plan.catalogue.find(id)->stated_at, say<RemarkPhrase::ExampleProtector>(id));
    add(person.stated_at, say<RemarkPhrase::ExamplePlan>());
    return all;
}

bool limit_by_origin(const std::vector<Message>& unmeasured, Verdict& verdict) {
    if (unmeasured.empty() || verdict != Verdict::Within) return false;
    verdict = Verdict::Close;
    return true;
}

void limit_by_origin(const std::vector<Message>& unmeasured, CriterionResult& result) {
    if (unmeasured.empty() || result.verdict > Verdict::Close) return;
    result.limited_by_origin = limit_by_origin(unmeasured, result.verdict);
    result.remarks.push_back(say<RemarkPhrase::NotMeasured>(unmeasured));
}

Message recording_to_make() { return say<RemarkPhrase::RecordingToMake>(); }

bool PersonResult::is_limited_by_origin() const {
    return verdict == Verdict::Close &&
           std::ranges::none_of(criteria, [](const CriterionResult& result) {
               return result.decides && result.by_probability() == Verdict::Close;
           });
}

}  // namespace earbudget
