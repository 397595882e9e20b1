// A plan of any content, beside the cards and the catalogue of the demo, is refused, or its people
// are assessed to finite numbers and every report is written.

#include "earbudget/advice/assess.hpp"
#include "files/study_files.hpp"
#include "files/text_inputs.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/held.hpp"
#include "report/document.hpp"
#include "report/reports.hpp"

using namespace earbudget;

namespace {

/// Larger plans are right but slow: reading them is what is tried here.
bool is_small(const Plan& plan) {
    std::size_t tasks = 0;
    for (const Person& person : plan.people)
        tasks += 1 + person.tasks.size();
    return plan.timeline.size() * tasks <= 24;
}

void hold_figures(const PersonResult& person) {
    fuzz::hold_finite(person.exposure.at_ear_Pa2h);
    if (person.exposure.at_ear_LEX_8h) fuzz::hold_finite(person.exposure.at_ear_LEX_8h->dB());
    for (const CriterionResult& result : person.criteria) {
        fuzz::hold_finite(result.value.value_or(0.0));
        fuzz::hold_finite(result.not_exceeded.value_or(0.0));
        if (result.margin) fuzz::hold_finite(result.margin->dB());
        const double probability = result.probability_over.value_or(0.0);
        fuzz::hold(probability >= 0.0 && probability <= 1.0, "a probability is from 0 to 1");
    }
    for (const SegmentResult& segment : person.segments) {
        fuzz::hold(segment.reduction >= LevelDifference(0.0), "no protector makes it louder");
        fuzz::hold_finite(segment.share_percent);
    }
    for (const Advice& advice : person.advice) {
        if (advice.seconds) fuzz::hold_finite(advice.seconds->count());
        if (advice.reduction) fuzz::hold_finite(advice.reduction->dB());
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {5.0, 1e-3, 64 << 20, 65536});
    const std::string path = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/read.toml";
    fuzz::use_or_refuse([&] {
        files::TextInputs inputs;
        files::LoadedPlan loaded =
            files::read_plan(fuzz::document_of(data, size, path), path, inputs);
        for (const std::string& read : loaded.files)
            fuzz::hold(read == path || inputs.sha256(read).size() == 64, "what is read is hashed");
        if (!is_small(loaded.plan)) return;
        loaded.plan.draws.draws = loaded.plan.draws.draws_of_times = 16;
        const Assessment assessment = assess(loaded.plan, Tracing::On);
        for (const PersonResult& person : assessment.people)
            hold_figures(person);
        const report::SourceFile file{path, std::string(64, '0')};
        const report::Record record{.date = "2026-01-31",
                                    .inputs = {file},
                                    .draws = loaded.plan.draws,
                                    .with_working = true};
        fuzz::hold_is_seen(report::assess_json(assessment, file, record));
        const report::Document document = report::assess_document(assessment, file, record);
        fuzz::hold_is_seen(report::printed(report::as_text(document, {})));
        fuzz::hold_is_seen(report::as_page(document));
    });
    return 0;
}
