#include "cli/commands.hpp"
#include "cli/deliver.hpp"
#include "cli/record_of.hpp"
#include "earbudget/choice/check_ratings.hpp"
#include "files/study_files.hpp"
#include "report/reports.hpp"

namespace earbudget::cli {

ExitStatus run_ratings(const RatingsOptions& options) {
    check_output(options.output);
    files::TextInputs inputs;
    const Catalogue catalogue = files::read_protector_catalogue(options.protectors, inputs);
    check_output_is_no_input(options.output, {{options.protectors}});
    const report::Record record = record_of(options.output, {options.protectors}, inputs);
    const RatingsCheck check = check_ratings(catalogue, tracing(options.output));
    deliver(options.output.format == "json"
                ? report::ratings_json(check, record)
                : rendered(report::ratings_document(check, record), options.output),
            options.output);
    return check.any_apart() ? over_or_unknown : computed;
}

}  // namespace earbudget::cli
