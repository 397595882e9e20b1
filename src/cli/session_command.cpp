#include <charconv>
#include <string>
#include <system_error>
#include <utility>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "earbudget/study/card_age.hpp"
#include "files/written_values.hpp"
#include "records/session_next.hpp"
#include "records/session_recorder.hpp"
#include "records/session_show.hpp"

namespace earbudget::cli {

namespace {

using registers::Access;
using registers::Register;

std::string date_of(const SessionOptions& options) { return options.output.date.value_or(today()); }

records::SessionAsked asked_of(const SessionOptions& options) {
    records::SessionAsked asked{.as = options.whose,
                                .by = options.by,
                                .plan = options.moved_plan,
                                .cleared_by = options.cleared_by};
    if (options.session) asked.session = *options.session;
    if (options.at) asked.at = parse_rfc3339(*options.at);
    return asked;
}

/// Values were looked at when the command line was read.
std::optional<Seconds> duration_of(const std::optional<std::string>& text) {
    return text ? files::parse_duration(*text) : std::nullopt;
}

/// An output that could not be written is refused before anything is recorded.
Register opened(const SessionOptions& options, Access access) {
    check_output(options.output);
    Register found = Register::open(options.in_register, access);
    check_output_is_no_input(options.output, {{options.in_register}});
    return found;
}

/// Opens the register, has something recorded in it and tells what was.
template <class Record>
ExitStatus recorded(const SessionOptions& options, const Record& record) {
    Register into = opened(options, Access::Write);
    records::SessionRecorder recorder(into, asked_of(options), date_of(options));
    const records::SessionDone done = record(recorder);
    std::string report = in_format(
        options.output, [&] { return records::session_done_json(done); },
        [&] { return records::session_done_document(done); });
    const bool is_text = options.output.format != "json";
    if (done.action == "start" && is_text) report = fmt::format("{}\n{}", done.session, report);
    deliver(report, options.output);
    return computed;
}

/// Digits alone.
std::int64_t entry_number(const std::string& text) {
    std::int64_t number = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error == std::errc() && end == text.data() + text.size() && number > 0) return number;
    throw UsageProblem(
        fmt::format("earbudget session correct: ENTRY is \"{}\"; accepted: the "
                    "number of an entry, as session show tells it",
                    text));
}

template <class Rows>
auto choice_of(const Rows& rows, const std::string& command, const char* what,
               const std::string& text) {
    const auto found = rows.parse(text);
    if (!found) {
        throw UsageProblem(fmt::format("earbudget {}: {} is \"{}\"; accepted: {}", command, what,
                                       text, fmt::join(rows.names(), ", ")));
    }
    return *found;
}

}  // namespace

ExitStatus run_session_start(const SessionOptions& options) {
    records::SessionBegin begin{options.plan, options.person, options.as, {}};
    for (const std::string& one : options.present)
        begin.present.push_back(person_and_code("session start", "--present", one));
    return recorded(options, [&](auto& recorder) { return recorder.start(begin); });
}

ExitStatus run_session_wear(const SessionOptions& options) {
    if (options.protectors.empty() != options.nothing) {
        throw UsageProblem(fmt::format(
            "earbudget session wear: {}; accepted: ids of protectors, or --nothing",
            options.nothing ? "--nothing is given with protectors" : "no protector is named"));
    }
    records::WearTold told{options.protectors, options.poor_fit, options.worn, std::nullopt};
    if (options.PAR) told.PAR = LevelDifference(*options.PAR);
    return recorded(options, [&](auto& recorder) { return recorder.wear(told); });
}

ExitStatus run_session_checked(const SessionOptions& options) {
    const auto ear = choice_of(sessions::ears_checked, "session checked", "EAR", options.ear);
    const sessions::CheckBody told{ear, options.how, !options.not_seated};
    return recorded(options, [&](auto& recorder) { return recorder.check(told); });
}

ExitStatus run_session_run(const SessionOptions& options) {
    const records::RunTold told{options.sequence, options.card, duration_of(options.lasting),
                                duration_of(options.stopped), options.stop};
    return recorded(options, [&](auto& recorder) { return recorder.run(told); });
}

ExitStatus run_session_event(const SessionOptions& options) {
    std::optional<sessions::EventBody> told;
    if (options.event) {
        told = {choice_of(sessions::event_kinds, "session event", "EVENT", *options.event),
                options.note};
    }
    return recorded(options, [&](auto& recorder) { return recorder.event(told); });
}

ExitStatus run_session_end(const SessionOptions& options) {
    return recorded(options, [](auto& recorder) { return recorder.end(); });
}

ExitStatus run_session_correct(const SessionOptions& options) {
    if (options.lasting.has_value() == options.never) {
        throw UsageProblem(fmt::format(
            "earbudget session correct: {}; accepted: --for TIME or "
            "--never",
            options.never ? "--for and --never are both given" : "what is right is not stated"));
    }
    const records::CorrectionTold told{entry_number(options.entry), duration_of(options.lasting),
                                       options.never, options.why};
    return recorded(options, [&](auto& recorder) { return recorder.correct(told); });
}

ExitStatus run_session_next(const SessionOptions& options) {
    Register from = opened(options, options.cleared_by ? Access::Write : Access::Read);
    const records::NextWanted wanted{options.sequences, options.cards,
                                     duration_of(options.lasting)};
    const records::NextReport report = records::next_of(
        from, asked_of(options), wanted, date_of(options), options.output.seed_of_draws());
    deliver(in_format(
                options.output, [&] { return records::next_json(report); },
                [&] { return records::next_document(report); }),
            options.output);
    return report.is_well() ? computed : over_or_unknown;
}

ExitStatus run_session_show(const SessionOptions& options) {
    const Register from = opened(options, Access::Read);
    const records::ShowReport report = records::show_of(from, asked_of(options), date_of(options));
    deliver(in_format(
                options.output, [&] { return records::show_json(report); },
                [&] { return records::show_document(report); }),
            options.output);
    return report.is_well() ? computed : over_or_unknown;
}

}  // namespace earbudget::cli
