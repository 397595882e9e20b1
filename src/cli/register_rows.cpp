#include "cli/option_rows.hpp"
#include "cli/register_commands.hpp"
#include "earbudget/computing/instant.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/study/card_age.hpp"
#include "register/entry.hpp"

namespace earbudget::cli {

namespace {

using RegisterRun = ExitStatus (*)(const RegisterOptions&);

CommandDescription register_command(const char* name, const char* text, RegisterRun run,
                                    RegisterOptions& told) {
    auto command = command_of(
        name, text, {.value = "FILE", .text = "the register", .target = &told.file}, told.output);
    command.run = [run, &told] { return run(told); };
    return command;
}

void add_register_output(CommandDescription& command, std::vector<std::string> formats) {
    add_output(command, std::move(formats), /*with_working=*/false);
    add_flag(command.options, "--detail",
             "every figure, entry and source, not the short answer alone; a page unfolds them",
             command.output->detail);
}

void add_operand(CommandDescription& command, const char* value, std::string text,
                 std::string& target) {
    command.operands.push_back(
        {.value = value, .text = std::move(text), .target = &target, .required = true});
}

void add_by(CommandDescription& command, RegisterOptions& told) {
    add(command.options, "--by", "CODE", "code of who does it, recorded with it", &told.by);
}

OptionDescription& add_as(CommandDescription& command, const char* text, RegisterOptions& told) {
    return add(command.options, "--as", "CODE", text, &told.as);
}

CommandDescription create_row(RegisterOptions& told) {
    auto command = register_command(
        "register create",
        "a new, empty register of what people hear; never over anything that is there",
        run_register_create, told);
    add(command.options, "--site", "FILE", "site file, whose time_zone counts", &told.site);
    add(command.options, "--time-zone", "ZONE",
        "that of the site, by which days and weeks are counted: a name of the IANA database, such "
        "as Europe/Berlin; this machine's own when left out",
        &told.time_zone);
    add(command.options, "--title", "TEXT", "what it is called", &told.title);
    add(command.options, "--retention-days", "N",
        "how long a person's entries are to be kept after the last of them; for good when left out",
        &told.retention_days)
        .within({1.0, 36'525.0, "days"});
    add_register_output(command, {"text", "json", "html"});
    return command;
}

CommandDescription verify_row(RegisterOptions& told) {
    auto command = register_command(
        "register verify",
        "whether anything was changed, removed or moved in a register, and which entry",
        run_register_verify, told);
    add(command.options, "--head", "N:HASH",
        "a head of an earlier time, as each answer prints it: proves that nothing until then was "
        "cut off or written anew",
        &told.head)
        .fits = [](const std::string& head) { return registers::Head::parse(head).has_value(); };
    add_register_output(command, {"text", "json", "html"});
    return command;
}

void add_period(CommandDescription& command, RegisterOptions& told) {
    const auto is_day = [](const std::string& day) { return is_calendar_day(day); };
    add(command.options, "--from", "DATE",
        "from this day on, YYYY-MM-DD; all that is recorded when left out", &told.from)
        .fits = is_day;
    add(command.options, "--to", "DATE", "until this day, counted too", &told.to).fits = is_day;
}

CommandDescription totals_row(RegisterOptions& told) {
    auto command = register_command(
        "register totals",
        "what people heard by day, week and month against each limit, with what is missing",
        run_register_totals, told);
    add_as(command, "one person alone, by any of their codes", told);
    const auto roles = role_rows.names();
    add(command.options, "--role", "ROLE", "in this role alone: participant, staff or accompanying",
        &told.role)
        .only({roles.begin(), roles.end()});
    add_period(command, told);
    add_register_output(command, {"text", "json", "csv", "html"});
    return command;
}

bool is_month(const std::string& month) {
    return month.size() == 7 && is_calendar_day(month + "-01");
}

CommandDescription report_row(RegisterOptions& told) {
    auto command = register_command(
        "register report",
        "one person's record, one study's for its board, or a month of all staff, with drawings",
        run_register_report, told);
    add_as(command, "the record of this person, by any of their codes", told);
    add(command.options, "--study", "TITLE", "the participants of sessions by plans of this title",
        &told.study);
    add(command.options, "--staff-month", "YYYY-MM", "all staff in this month", &told.staff_month)
        .fits = is_month;
    add_period(command, told);
    add_register_output(command, {"text", "json", "html"});
    return command;
}

CommandDescription link_row(RegisterOptions& told) {
    auto command = register_command("register link", "two codes that are one person's",
                                    run_register_link, told);
    add_operand(command, "CODE", "a code that is known", told.code);
    add_operand(command, "OTHER", "another one of the same person", told.other_code);
    add_by(command, told);
    add_register_output(command, {"text", "json", "html"});
    return command;
}

CommandDescription backup_row(RegisterOptions& told) {
    auto command = register_command(
        "register backup", "a copy of one moment, also while others record; never over anything",
        run_register_backup, told);
    add_operand(command, "TO", "file to be made", told.copy);
    add_by(command, told);
    add_register_output(command, {"text", "json", "html"});
    return command;
}

CommandDescription export_row(RegisterOptions& told) {
    auto command =
        register_command("register export", "a copy of all that is recorded of one person",
                         run_register_export, told);
    add_as(command, "whom, by any of their codes", told).required = true;
    add_register_output(command, {"text", "json", "html"});
    return command;
}

CommandDescription erase_row(RegisterOptions& told) {
    auto command = register_command(
        "register erase",
        "a person erased for good: codes, contents and salts; the rest stays provable",
        run_register_erase, told);
    add_as(command, "whom, by any of their codes", told).required = true;
    add(command.options, "--confirm", "CODE", "the same code once more, to confirm it",
        &told.confirm);
    add_flag(command.options, "--yes", "confirms it without the code", told.yes);
    add_by(command, told);
    add_register_output(command, {"text", "json", "html"});
    return command;
}

CommandDescription due_row(RegisterOptions& told) {
    auto command = register_command(
        "register due", "whose entries are older than the site keeps them; erases nothing",
        run_register_due, told);
    add_register_output(command, {"text", "json", "html"});
    return command;
}

CommandDescription import_row(RegisterOptions& told) {
    auto command = register_command(
        "register import",
        "past sessions from a table, or as a lower bound from scans that were kept",
        run_register_import, told);
    add(command.options, "--table", "TABLE",
        "CSV, TSV or semicolons with the headings as, when (or date and time), sequence, duration, "
        "wears, person; a row a run",
        &told.table);
    add(command.options, "--bids", "FOLDER",
        "scans of one session of one person: of a BIDS dataset, or what dcm2niix wrote",
        &told.bids);
    add(command.options, "--match", "FILE",
        "with --bids: site file whose [match] says which scans are runs of which card",
        &told.match);
    add(command.options, "--at", "TIME",
        "with --bids: when the first run began, such as 2026-11-29T14:30:00+01:00; dates of scans "
        "are often shifted",
        &told.at)
        .fits = [](const std::string& time) { return parse_rfc3339(time).has_value(); };
    add(command.options, "--plan", "PLAN", "the plan whose sequences, protectors and people it was",
        &told.plan)
        .required = true;
    add(command.options, "--person", "ID",
        "who of the plan it was, where the table does not say; its only participant when left out",
        &told.person);
    add_as(command, "code of whom, where the table does not say", told);
    add_by(command, told);
    add_register_output(command, {"text", "json", "html"});
    return command;
}

}  // namespace

std::vector<CommandDescription> register_rows(RegisterOptions& told) {
    std::vector<CommandDescription> rows;
    for (const auto row : {create_row, verify_row, totals_row, report_row, link_row, backup_row,
                           export_row, erase_row, due_row, import_row})
        rows.push_back(row(told));
    return rows;
}

}  // namespace earbudget::cli
