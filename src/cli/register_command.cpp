#include <fmt/format.h>

#include "cli/register_commands.hpp"
#include "cli/steps.hpp"
#include "earbudget/study/card_age.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/study_files.hpp"
#include "records/past_runs.hpp"
#include "records/register_copy.hpp"
#include "records/register_done.hpp"
#include "records/register_report.hpp"
#include "records/register_totals.hpp"
#include "records/session_state.hpp"
#include "report/json_text.hpp"
#include "sessions/calendar.hpp"

namespace earbudget::cli {

namespace {

using registers::Access;
using registers::Register;

/// Before a register is touched: no output in its place, none that exists.
void check_outputs(const RegisterOptions& options) {
    check_output(options.output);
    check_output_is_no_input(options.output, {{options.file}});
}

ExitStatus deliver_done(const records::RegisterDone& done, const OutputOptions& output,
                        ExitStatus status = computed) {
    deliver(in_format(
                output, [&] { return records::done_json(done); },
                [&] { return records::done_document(done, output.detail); }),
            output);
    return status;
}

records::RegisterDone done_with(std::string action, const Register& with,
                                const RegisterOptions& options) {
    return {std::move(action), records::file_of(with), record_of(options.output)};
}

/// As stated, by the site file or by itself, else this machine's. Throws UsageProblem, or
/// InputError at the site file, for one that is not known.
std::string time_zone_of(const RegisterOptions& options) {
    if (options.site && options.time_zone) {
        throw UsageProblem(
            "earbudget register create: --site and --time-zone both say which time zone counts; "
            "accepted: one of them");
    }
    std::string zone;
    std::optional<SourcePosition> at;
    if (options.site) {
        files::TextInputs inputs;
        const auto stated = files::read_time_zone(*options.site, inputs);
        if (!stated) {
            throw InputError({*options.site},
                             "states no time_zone, by which days are counted; accepted: a line "
                             "such as time_zone = \"Europe/Berlin\", or --time-zone ZONE instead");
        }
        zone = stated->value;
        at = stated->position;
    } else if (options.time_zone) {
        zone = *options.time_zone;
    } else {
        return records::time_zone_here();
    }
    if (sessions::Calendar::of(zone)) return zone;
    const auto like = sessions::Calendar::like(zone);
    const std::string problem = fmt::format(
        "\"{}\", which this system does not know{}{}; accepted: a name of the IANA database, such "
        "as Europe/Berlin or UTC",
        zone, like.empty() ? "" : ", names like it are ", fmt::join(like, ", "));
    if (at) throw InputError(*at, "time_zone is " + problem);
    throw UsageProblem("earbudget register create: --time-zone is " + problem);
}

/// Where from, and what that needs. Throws UsageProblem with a line for each.
void check_import(const RegisterOptions& options) {
    std::vector<std::string> problems;
    const auto refuse = [&](const char* problem) {
        problems.push_back(std::string("earbudget register import: ") + problem);
    };
    if (options.table.has_value() == options.bids.has_value())
        refuse(options.table
                   ? "--table and --bids; accepted: one of them"
                   : "where from is not stated; accepted: --table TABLE or --bids FOLDER");
    if (options.bids && !options.as)
        refuse("--bids needs --as, since scans know no codes; accepted: --as CODE");
    if (options.bids && !options.at)
        refuse(
            "--bids needs --at, since dates of scans may be shifted; accepted: --at TIME, such "
            "as 2026-11-29T14:30:00+01:00");
    if (!options.bids && (options.match || options.at))
        refuse("--match and --at are for --bids; accepted: --table without them");
    UsageProblem::throw_if_any(std::move(problems));
}

records::PastRuns past_runs_of(const RegisterOptions& options, records::SessionPlan& plan,
                               const sessions::Calendar& calendar) {
    const records::PastDefaults defaults{options.as, options.person};
    return files::without_mistakes([&](files::ErrorList& errors) {
        return options.table
                   ? records::runs_of_table(*options.table, plan, calendar, defaults, errors)
                   : records::runs_of_scans(*options.bids, options.match,
                                            parse_rfc3339(*options.at).value(), plan, calendar,
                                            defaults, errors);
    });
}

/// Refuses what is more than anybody reads, with what would do.
template <class Make>
std::string readable(const std::string& file, const Make& make) {
    try {
        return make();
    } catch (const report::ReportTooLarge&) {
        throw InputError({file},
                         "more is recorded than a report can hold; accepted: fewer days by "
                         "--from and --to, one role by --role, one person by --as");
    }
}

std::optional<sessions::LocalDay> day_of(const std::optional<std::string>& date) {
    return date ? sessions::day_named(*date) : std::nullopt;
}

records::TotalsWanted wanted_of(const std::string& command, const RegisterOptions& options) {
    records::TotalsWanted wanted{
        .as = options.as,
        .role = options.role ? role_rows.parse(*options.role) : std::nullopt,
        .from = day_of(options.from),
        .to = day_of(options.to),
        .now = now()};
    if (wanted.from && wanted.to && *wanted.to < *wanted.from) {
        throw UsageProblem(fmt::format(
            "earbudget register {}: --to {} is before --from {}; accepted: the same day "
            "or a later one",
            command, *options.to, *options.from));
    }
    return wanted;
}

/// A report is about one of three things; days are chosen of a person's alone. Throws UsageProblem.
void check_report(const RegisterOptions& options) {
    const int about =
        (options.as ? 1 : 0) + (options.study ? 1 : 0) + (options.staff_month ? 1 : 0);
    if (about != 1) {
        throw UsageProblem(
            fmt::format("earbudget register report: {}; accepted: one of --as CODE, --study TITLE "
                        "and --staff-month YYYY-MM",
                        about == 0 ? "about whom or what is not stated" : "it is about several"));
    }
    if (!options.as && (options.from || options.to)) {
        throw UsageProblem(
            "earbudget register report: --from and --to are for one person's record; accepted: "
            "them with --as CODE");
    }
}

records::RegisterReport report_of(const Register& from, const RegisterOptions& options) {
    const auto calendar = records::calendar_of(from);
    report::Record record = record_of(options.output);
    if (options.study) {
        return records::report_on_study(from, calendar, *options.study, now(), std::move(record));
    }
    if (options.staff_month) {
        return records::report_on_staff(from, calendar,
                                        sessions::day_named(*options.staff_month + "-01").value(),
                                        now(), std::move(record));
    }
    return records::report_on_person(from, calendar, wanted_of("report", options),
                                     std::move(record));
}

/// Refuses to erase what nobody confirmed, and says what it would be.
void check_confirmed(const Register& from, const RegisterOptions& options) {
    const auto copy = from.copy_of(*options.as);
    if (options.yes || options.confirm == options.as) return;
    throw UsageProblem(fmt::format(
        "earbudget register erase: {} of {} would be erased for good{}; accepted: --confirm {} or "
        "--yes to have that done",
        copy.entries.size() == 1 ? "1 entry" : fmt::format("{} entries", copy.entries.size()),
        fmt::join(copy.codes, ", "),
        options.confirm ? fmt::format(", and --confirm is \"{}\"", *options.confirm) : "",
        *options.as));
}

}  // namespace

ExitStatus run_register_create(const RegisterOptions& options) {
    check_outputs(options);
    registers::RegisterSettings settings{.title = options.title.value_or(""),
                                         .time_zone = time_zone_of(options)};
    if (options.retention_days) settings.retention_days = static_cast<int>(*options.retention_days);
    Register::create(options.file, settings);
    const auto made = Register::open(options.file, Access::Read);
    auto done = done_with("create", made, options);
    done.time_zone_of_machine = !options.time_zone && !options.site;
    return deliver_done(done, options.output);
}

ExitStatus run_register_verify(const RegisterOptions& options) {
    check_outputs(options);
    const auto from = Register::open(options.file, Access::Verify);
    std::optional<registers::Head> head;
    if (options.head) head = registers::Head::parse(*options.head);
    const auto verified = from.verify(head);
    records::RegisterDone done{
        "verify", {from.path(), from.settings(), verified.head}, record_of(options.output)};
    done.verified = verified;
    return deliver_done(done, options.output, verified.is_intact() ? computed : over_or_unknown);
}

ExitStatus run_register_totals(const RegisterOptions& options) {
    check_outputs(options);
    const auto wanted = wanted_of("totals", options);
    const auto from = Register::open(options.file, Access::Read);
    const auto calendar = records::calendar_of(from);
    const auto report = records::totals_of(from, calendar, wanted, record_of(options.output));
    deliver(
        readable(options.file,
                 [&] {
                     return in_format(
                         options.output, [&] { return records::totals_json(report); },
                         [&] { return records::totals_document(report, options.output.detail); },
                         records::totals_csv);
                 }),
        options.output);
    return status_of(report.verdict());
}

ExitStatus run_register_report(const RegisterOptions& options) {
    check_outputs(options);
    check_report(options);
    const auto from = Register::open(options.file, Access::Read);
    const auto report = report_of(from, options);
    deliver(
        readable(options.file,
                 [&] {
                     return in_format(
                         options.output, [&] { return records::report_json(report); },
                         [&] { return records::report_document(report, options.output.detail); });
                 }),
        options.output);
    return status_of(report.totals.verdict());
}

ExitStatus run_register_link(const RegisterOptions& options) {
    check_outputs(options);
    auto target = Register::open(options.file, Access::Write);
    const std::int64_t entry = target.link(options.code, options.other_code, options.by);
    auto done = done_with("link", target, options);
    done.linked = records::Linked{entry, target.codes_of(options.code)};
    return deliver_done(done, options.output);
}

ExitStatus run_register_backup(const RegisterOptions& options) {
    check_outputs(options);
    check_output_is_no_input(options.output, {{options.file, options.copy}});
    auto from = Register::open(options.file, Access::Write);
    const auto backup = from.backup(options.copy, options.by);
    auto done = done_with("backup", from, options);
    done.backup = backup;
    return deliver_done(done, options.output);
}

ExitStatus run_register_export(const RegisterOptions& options) {
    check_outputs(options);
    const auto from = Register::open(options.file, Access::Read);
    const records::CopyReport report{records::file_of(from), record_of(options.output),
                                     from.copy_of(*options.as)};
    deliver(in_format(
                options.output, [&] { return records::copy_json(report); },
                [&] { return records::copy_document(report, options.output.detail); }),
            options.output);
    return computed;
}

ExitStatus run_register_erase(const RegisterOptions& options) {
    check_outputs(options);
    auto target = Register::open(options.file, Access::Write);
    check_confirmed(target, options);
    // Nobody could end it once it is erased, and for others who are there it would go on.
    records::refuse_open_session(target, *options.as, "erase");
    const auto erased = target.erase(*options.as, options.by);
    auto done = done_with("erase", target, options);
    done.erased = erased;
    return deliver_done(done, options.output);
}

ExitStatus run_register_import(const RegisterOptions& options) {
    check_outputs(options);
    check_import(options);
    auto target = Register::open(options.file, Access::Write);
    const auto calendar = records::calendar_of(target);
    records::SessionPlan plan = records::read_session_plan(options.plan, today());
    records::PastRuns runs = past_runs_of(options, plan, calendar);
    check_output_is_no_input(options.output, {plan.inputs.names(), plan.loaded.folders});
    const report::Record record = record_of(options.output, plan.inputs.names(), plan.inputs);
    const std::string sha256 =
        options.table ? plan.inputs.sha256(*options.table) : record.fingerprint;
    auto imported =
        records::record_past_runs(target, plan, calendar, std::move(runs), sha256, options.by);
    auto done = done_with("import", target, options);
    done.imported = std::move(imported);
    return deliver_done(done, options.output);
}

ExitStatus run_register_due(const RegisterOptions& options) {
    check_outputs(options);
    const auto from = Register::open(options.file, Access::Read);
    auto done = done_with("due", from, options);
    done.due = from.due(now());
    return deliver_done(done, options.output);
}

}  // namespace earbudget::cli
