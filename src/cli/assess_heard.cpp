#include <algorithm>
#include <string>
#include <utility>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/ids.hpp"
#include "records/register_file.hpp"
#include "records/session_state.hpp"

namespace earbudget::cli {

std::pair<std::string, std::string> person_and_code(const std::string& command,
                                                    const std::string& option,
                                                    const std::string& text) {
    const std::size_t at = text.find('=');
    if (at == std::string::npos || at == 0 || at + 1 == text.size()) {
        throw UsageProblem(
            fmt::format("earbudget {}: {} is \"{}\"; accepted: a person of the plan and their code "
                        "in the register, such as pilot-a=P-0417",
                        command, option, text));
    }
    return {text.substr(0, at), text.substr(at + 1)};
}

void check_heard_before(const AssessOptions& options) {
    const auto refuse = [](const char* why) {
        throw UsageProblem(
            fmt::format("earbudget assess: {}; accepted: assess PLAN --register "
                        "FILE --as pilot-a=P-0417",
                        why));
    };
    if (!options.in_register) {
        if (!options.as.empty()) refuse("--as stands without --register");
        if (options.at) refuse("--at stands without --register");
        return;
    }
    if (options.as.empty()) refuse("--register stands without --as");
    if (asks_for_many(options)) refuse("--register is given with more than one plan");
    if (options.sheet || options.against || options.output.working)
        refuse("--register is given with --sheet, --against or --working");
    for (const std::string& one : options.as)
        static_cast<void>(person_and_code("assess", "--as", one));
}

namespace {

sessions::PersonFromHeard heard_of(const registers::Register& from, const std::string& id,
                                   const std::string& as, const sessions::Calendar& calendar,
                                   Instant at) {
    if (!from.knows(as)) {
        throw InputError({from.path()}, fmt::format("has no code \"{}\"{}; accepted: one that "
                                                    "something is recorded for",
                                                    as, files::nearest_words(as, from.codes())));
    }
    sessions::RecordCache cache;
    const auto entries = records::entries_for(from, calendar, as, at);
    return {id, as, sessions::heard_by(entries, at, cache)};
}

}  // namespace

std::vector<sessions::AssessedFromHeard> start_from_heard(const AssessOptions& options,
                                                          const files::LoadedPlan& loaded,
                                                          const files::TextInputs& inputs,
                                                          Assessment& assessment,
                                                          report::Record& record) {
    std::vector<sessions::AssessedFromHeard> people;
    if (!options.in_register) return people;
    const Plan& plan = loaded.plan;
    const auto from = registers::Register::open(*options.in_register, registers::Access::Read);
    check_output_is_no_input(options.output, {{*options.in_register}});
    const sessions::Calendar calendar = records::calendar_of(from);
    const Instant at = options.at ? parse_rfc3339(*options.at)->at : now();
    sessions::Provenance provenance{std::string(report::program_version()), {}};
    for (const std::string& file : loaded.files)
        provenance.files.push_back({file, inputs.sha256(file)});
    report::StartedFrom started{
        {from.path(), from.head().text()}, calendar.time_zone(), rfc3339(calendar.stated(at)), {}};
    sessions::Judge judge(calendar);
    for (const std::string& one : options.as) {
        const auto [id, as] = person_and_code("assess", "--as", one);
        const auto ids = files::ids_of(plan.people);
        if (std::ranges::find(ids, id) == ids.end()) {
            throw UsageProblem(fmt::format(
                "earbudget assess: --as names \"{}\"{}, who is not in the plan; accepted: {}", id,
                files::nearest_words(id, ids), fmt::join(ids, ", ")));
        }
        people.push_back(sessions::assess_from(plan, heard_of(from, id, as, calendar, at), at,
                                               judge, provenance));
        const auto& so_far = people.back().so_far;
        started.people.push_back({id, as,
                                  so_far ? so_far->criteria : std::vector<CriterionResult>(),
                                  people.back().stop.has_value()});
    }
    assessment = sessions::with_heard(std::move(assessment), people);
    // Whoever must stop does not start, whatever is left.
    for (PersonResult& result : assessment.people)
        for (const report::HeardBefore& one : started.people)
            if (one.stopped && one.id == result.person->id)
                result.verdict = std::max(result.verdict, Verdict::Unknown);
    record.started_from = std::move(started);
    return people;
}

}  // namespace earbudget::cli
