#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "answers/assessed.hpp"
#include "answers/record_of.hpp"
#include "cli/command_table.hpp"
#include "earbudget/advice/less_work.hpp"
#include "earbudget/choice/work_size.hpp"
#include "earbudget/study/plan.hpp"
#include "files/output.hpp"
#include "files/study_files.hpp"
#include "files/text_inputs.hpp"
#include "report/document.hpp"
#include "report/record.hpp"
#include "report/reports.hpp"
#include "report/words/words.hpp"
#include "report/working.hpp"
#include "sessions/from_heard.hpp"

namespace earbudget::cli {

// The steps that commands share, in their order.

/// The format of what --output names, by its ending, where --format is not stated: .html, .htm,
/// .json, .txt; text where there is no ending. What is stated counts, and a note says so where the
/// ending is another. Throws UsageProblem for any other ending where --format is not stated, always
/// for .toml, in large or small letters, which would be taken for an input; and for the names of
/// standard output.
void settle_format(const CommandDescription& command, OutputOptions& output);

/// A sheet is a page, and holds neither a comparison nor a working. Throws UsageProblem.
void check_sheet(const AssessOptions& options);

/// A table holds neither a comparison nor a working. Throws UsageProblem.
void check_csv(const CommandDescription& command, const CommandOptions& told);

/// Whether `assess` is asked for more than one plan: several, a folder, or since an earlier answer.
[[nodiscard]] bool asks_for_many(const AssessOptions& options);

/// `assess` of a study of visits, whose file is among the inputs.
[[nodiscard]] ExitStatus run_assess_study(const AssessOptions& options, files::TextInputs& inputs);

/// What people heard before is asked for with a register and their codes, of one plan, and neither
/// with a sheet nor a comparison nor a working. Throws UsageProblem.
void check_heard_before(const AssessOptions& options);

/// The two sides of "pilot-a=P-0417". Throws UsageProblem for anything else.
[[nodiscard]] std::pair<std::string, std::string> person_and_code(const std::string& command,
                                                                  const std::string& option,
                                                                  const std::string& text);

/// Has an assessment start from what people heard before, where that is asked for; the result must
/// live as long as the assessment.
[[nodiscard]] std::vector<sessions::AssessedFromHeard> start_from_heard(
    const AssessOptions& options, const files::LoadedPlan& loaded, const files::TextInputs& inputs,
    Assessment& assessment, report::Record& record);

/// Of many there is neither a sheet nor a comparison of two plans nor a working, and what is asked
/// for one file alone is no table. Throws UsageProblem.
void check_many(const AssessOptions& options);

/// Which option of one plan alone is given: a sheet, a comparison of two plans, a working; null for
/// none.
[[nodiscard]] const char* option_of_one_plan(const AssessOptions& options);

/// What `assess` ends with: whether somebody is over a limit, or cannot be decided.
[[nodiscard]] constexpr ExitStatus status_of(Verdict worst) {
    return worst == Verdict::Over || worst == Verdict::Unknown ? over_or_unknown : computed;
}

/// Refuses an output file that exists before anything is computed. Throws InputError.
void check_output(const OutputOptions& output);

/// Refuses an output, file or standard output, that is one of the files that were read or could
/// have been. Throws InputError.
void check_output_is_no_input(const OutputOptions& output, const files::ReadBefore& inputs);

/// A plan as it was read with what the options say of it: the seed of its draws, and the day on
/// which it is looked at, by which cards are old.
void settle_plan(Plan& plan, const OutputOptions& output);

/// The same of one that is read by its name.
[[nodiscard]] answers::When when_of(const OutputOptions& output);

/// Whether a working is asked for.
[[nodiscard]] inline Tracing tracing(const OutputOptions& output) {
    return output.working ? Tracing::On : Tracing::Off;
}

/// The record of a report made from these files, as they were read; its date is the one given,
/// else the clock's, local.
[[nodiscard]] report::Record record_of(const OutputOptions& output,
                                       const std::vector<std::string>& paths = {},
                                       const files::TextInputs& inputs = {});

using answers::add_examples;
using answers::add_input;
using answers::add_inputs;

/// What --working-for of a command asks for, among the people, criteria and sequences of a plan.
/// Throws UsageProblem for an id that is none of them.
[[nodiscard]] report::WorkingFor working_for(const std::string& command,
                                             const OutputOptions& output, const Plan& plan);

/// The same of a review: among sequences and criteria.
[[nodiscard]] report::WorkingFor working_for_review(const OutputOptions& output,
                                                    const std::vector<std::string>& sequences,
                                                    const std::vector<Criterion>& criteria);

/// How the report will be written; `working` only where all of it is asked for.
[[nodiscard]] ReportAsked report_asked(const OutputOptions& output);

/// What a report may have, in bytes.
[[nodiscard]] double most_report();

/// Whether the report is to be read, as text or as a page.
[[nodiscard]] bool is_read(const OutputOptions& output);

using answers::can_be_looked_for;

/// Refuses what is too much by its size, at the file that asks for it, with what would do as `less`
/// tells it; else makes the report, counted, and refuses it when it turns out to be too much, or
/// too large (InputError). Meanwhile a line on standard error tells how far the work has come,
/// where that is a terminal and the work lasts longer than two seconds.
[[nodiscard]] std::string watched(const WorkSize& size, const std::string& file,
                                  const std::function<std::string()>& less,
                                  const std::function<std::string()>& make);

/// The same of something asked for whose size, and that of less of it, `size` tells.
template <class Asked>
[[nodiscard]] std::string watched(const Asked& asked, const SizeOf<Asked>& size,
                                  const std::string& file,
                                  const std::function<std::string()>& make) {
    return watched(
        size(asked), file,
        [&] { return text_of(said_of_less(less_work(asked, size, most_report()))); }, make);
}

/// How much a report tells: the short answer alone as text, with all that unfolds below it as a
/// page, everything as text with --detail or --working.
[[nodiscard]] report::Telling telling(const OutputOptions& output);

/// A document as a page or as text, in colour only on a terminal that shows it, and not with
/// NO_COLOR set.
[[nodiscard]] std::string rendered(const report::Document& document, const OutputOptions& output);

/// A report as JSON where that is asked for, else its document as a page or as text.
template <class Json, class Document>
[[nodiscard]] std::string in_format(const OutputOptions& output, Json&& json, Document&& document) {
    return output.format == "json" ? json() : rendered(document(), output);
}

/// The same of a report that can be a table for spreadsheets too, which is made of its JSON.
template <class Json, class Document>
[[nodiscard]] std::string in_format(const OutputOptions& output, Json&& json, Document&& document,
                                    std::string (*csv)(std::string_view)) {
    return output.format == "csv" ? csv(json()) : in_format(output, json, document);
}

/// Writes a report to the file that was asked for, or to standard output, and other files that
/// were asked for. All files are in their places or none, and none where standard output did not
/// take the whole report.
void deliver(const std::string& report, const OutputOptions& output,
             std::vector<files::OutputFile> others = {});

}  // namespace earbudget::cli
