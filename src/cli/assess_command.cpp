#include "cli/commands.hpp"
#include "cli/deliver.hpp"
#include "earbudget/decision/assess.hpp"
#include "files/plan_file.hpp"
#include "files/sha256.hpp"
#include "report/assess_json.hpp"
#include "report/assess_text.hpp"

namespace earbudget::cli {

ExitStatus run_assess(const AssessOptions& options) {
    check_output(options.output);
    const files::LoadedPlan loaded = files::read_plan(options.plan);
    check_output_is_no_input(options.output, loaded.files);
    const report::SourceFile source{options.plan, files::sha256_of_file(options.plan)};
    const Assessment assessment = assess(loaded.plan);
    deliver(options.output.format == "json"
                ? report::assess_json(assessment, source)
                : report::assess_text(assessment, source, text_style_for(options.output)),
            options.output);
    const Verdict verdict = assessment.verdict();
    return verdict == Verdict::Over || verdict == Verdict::Unknown ? over_or_unknown : computed;
}

}  // namespace earbudget::cli
