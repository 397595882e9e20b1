#include <string>

#include <fmt/format.h>

#include "cli/option_rows.hpp"
#include "cli/session_commands.hpp"
#include "earbudget/computing/instant.hpp"
#include "files/written_values.hpp"
#include "sessions/bodies.hpp"

namespace earbudget::cli {

namespace {

using Rows = std::vector<OptionDescription>;

constexpr double longest_run_s = 24.0 * 3600.0;

bool is_time(const std::string& text) { return parse_rfc3339(text).has_value(); }

bool is_duration(const std::string& text) {
    const auto time = files::parse_duration(text);
    return time && time->count() > 0.0 && time->count() <= longest_run_s;
}

std::string names_of_events() {
    return fmt::format("{}", fmt::join(sessions::event_kinds.names(), ", "));
}

CommandDescription row_of(const char* name, const char* text, SessionOptions& told) {
    CommandDescription row{
        .name = name, .text = text, .options = {help_option()}, .output = &told.output};
    add(row.options, "--register", "FILE", "the register, as register create made it",
        &told.in_register)
        .required = true;
    return row;
}

void add_operand(CommandDescription& row, const char* value, std::string text, OptionTarget target,
                 bool required) {
    row.operands.push_back(
        {.value = value, .text = std::move(text), .target = target, .required = required});
}

void add_session(CommandDescription& row, SessionOptions& told) {
    add(row.options, "--session", "N", "the one that is open when left out", &told.session);
}

void add_teller(CommandDescription& row, SessionOptions& told) {
    add(row.options, "--by", "CODE", "who tells it", &told.by);
    add(row.options, "--at", "TIME",
        "when it was, RFC 3339 (2026-11-29T10:15:00+01:00); now when left out", &told.at)
        .fits = is_time;
}

void add_plan(CommandDescription& row, SessionOptions& told) {
    add(row.options, "--plan", "FILE", "where the session's plan lies now, if it was moved",
        &told.moved_plan);
}

void add_whose(CommandDescription& row, SessionOptions& told) {
    add(row.options, "--as", "CODE", "of whom in the session; whose session it is when left out",
        &told.whose);
}

void add_clearance(CommandDescription& row, SessionOptions& told) {
    add(row.options, "--cleared-by", "CODE",
        "who cleared pain, ringing or dulled hearing, so that runs may follow", &told.cleared_by);
}

void add_duration(CommandDescription& row, const char* name, std::string text,
                  std::optional<std::string>& target) {
    add(row.options, name, "TIME", std::move(text) + "; such as \"6 min\" or 2m10s, 24 h at most",
        &target)
        .fits = is_duration;
}

CommandDescription start_row(SessionOptions& told) {
    auto row =
        row_of("session start", "begin a session: its number, alone on the first line", told);
    add_operand(row, "PLAN", "plan, TOML", &told.plan, true);
    add(row.options, "--person", "ID", "the person of the plan whose session it is", &told.person)
        .required = true;
    add(row.options, "--as", "CODE", "by which code the register knows that person", &told.as)
        .required = true;
    add(row.options, "--present", "ID=CODE",
        "who else is there: a person of the plan, staff or accompanying, and their code; again for "
        "each more",
        &told.present);
    add_teller(row, told);
    add_clearance(row, told);
    add_output(row, {"text", "json"}, /*with_working=*/false);
    row.run = [&told] { return run_session_start(told); };
    return row;
}

CommandDescription wear_row(SessionOptions& told) {
    auto row = row_of("session wear", "what is worn from now on", told);
    add_operand(row, "PROTECTOR...", "ids of the catalogue, a plug and an earmuff for a pair",
                &told.protectors, false);
    add_flag(row.options, "--nothing", "nothing is worn", told.nothing);
    add_flag(row.options, "--poor-fit", "poorly seated", told.poor_fit);
    add(row.options, "--worn", "FRACTION",
        "of the noisy time it is really worn; as in the plan when left out", &told.worn)
        .within({0.0, 1.0, ""});
    add(row.options, "--PAR", "DB", "attenuation of this person by a fit test with these",
        &told.PAR)
        .within({0.0, 60.0, "dB"});
    add_whose(row, told);
    add_session(row, told);
    add_plan(row, told);
    add_teller(row, told);
    add_output(row, {"text", "json"}, /*with_working=*/false);
    row.run = [&told] { return run_session_wear(told); };
    return row;
}

CommandDescription checked_row(SessionOptions& told) {
    auto row = row_of("session checked", "an ear was looked at: is what is worn seated?", told);
    add_operand(row, "EAR", "left, right or both", &told.ear, true);
    add(row.options, "--how", "TEXT", "how it was checked; no names", &told.how);
    add_flag(row.options, "--not-seated", "it is not seated", told.not_seated);
    add_whose(row, told);
    add_session(row, told);
    add_teller(row, told);
    add_output(row, {"text", "json"}, /*with_working=*/false);
    row.run = [&told] { return run_session_checked(told); };
    return row;
}

CommandDescription run_row(SessionOptions& told) {
    auto row = row_of("session run",
                      "a sequence runs or ran: it begins now, or lasts a stated time, or was "
                      "stopped",
                      told);
    add_operand(row, "SEQUENCE", "id of the plan's; left out for what goes on, or with --card",
                &told.sequence, false);
    add_duration(row, "--for", "how long it lasts from when it begins; it counts in full",
                 told.lasting);
    add_duration(row, "--stopped", "it was stopped after that time", told.stopped);
    add_flag(row.options, "--stop", "what goes on is over now", told.stop);
    add(row.options, "--card", "FILE", "card of a sequence that is not in the plan", &told.card);
    add_session(row, told);
    add_plan(row, told);
    add_teller(row, told);
    add_clearance(row, told);
    add_output(row, {"text", "json"}, /*with_working=*/false);
    row.run = [&told] { return run_session_run(told); };
    return row;
}

CommandDescription event_row(SessionOptions& told) {
    auto row = row_of("session event",
                      "something happened; pain, ringing and dulled hearing end the session", told);
    add_operand(row, "EVENT", names_of_events() + "; left out with --cleared-by alone", &told.event,
                false);
    add(row.options, "--note", "TEXT", "what is to be known of it; no names", &told.note);
    add_clearance(row, told);
    add_whose(row, told);
    add_session(row, told);
    add_teller(row, told);
    add_output(row, {"text", "json"}, /*with_working=*/false);
    row.run = [&told] { return run_session_event(told); };
    return row;
}

CommandDescription end_row(SessionOptions& told) {
    auto row = row_of("session end", "the session is over, for everybody who is there", told);
    add_session(row, told);
    add_teller(row, told);
    add_output(row, {"text", "json"}, /*with_working=*/false);
    row.run = [&told] { return run_session_end(told); };
    return row;
}

CommandDescription correct_row(SessionOptions& told) {
    auto row = row_of("session correct",
                      "a new entry in the place of one that is wrong; the old one stays in the "
                      "register's history",
                      told);
    add_operand(row, "ENTRY", "its number", &told.entry, true);
    add_duration(row, "--for", "how long the run really lasted", told.lasting);
    add_flag(row.options, "--never", "it did not happen", told.never);
    add(row.options, "--why", "TEXT", "why it is corrected; no names", &told.why).required = true;
    add(row.options, "--by", "CODE", "who tells it", &told.by);
    add_output(row, {"text", "json"}, /*with_working=*/false);
    row.run = [&told] { return run_session_correct(told); };
    return row;
}

void add_seed(CommandDescription& row, SessionOptions& told) {
    add(row.options, "--seed", "N",
        "of the draws behind each probability of being over: another one shows how far they stray",
        &told.output.seed)
        .stating_default();
}

CommandDescription next_row(SessionOptions& told) {
    auto row = row_of("session next",
                      "may it be run again? how often each sequence still fits, after all that "
                      "this person heard today and this week",
                      told);
    add(row.options, "--sequence", "ID",
        "ask about this one of the plan instead of its timeline; again for each more",
        &told.sequences);
    add(row.options, "--card", "FILE", "ask about the sequence of this card; again for each more",
        &told.cards);
    add_duration(row, "--for", "how long one run lasts; as planned when left out", told.lasting);
    add_whose(row, told);
    add_session(row, told);
    add_plan(row, told);
    add(row.options, "--at", "TIME", "as of that time, RFC 3339; now when left out", &told.at)
        .fits = is_time;
    add_clearance(row, told);
    add_seed(row, told);
    add_output(row, {"text", "json"}, /*with_working=*/false);
    row.run = [&told] { return run_session_next(told); };
    return row;
}

CommandDescription show_row(SessionOptions& told) {
    auto row = row_of("session show",
                      "what was heard in a session, what is left of each limit, what is not "
                      "confirmed",
                      told);
    add_whose(row, told);
    add_session(row, told);
    add(row.options, "--at", "TIME", "as of that time, RFC 3339; now when left out", &told.at)
        .fits = is_time;
    add_output(row, {"text", "json"}, /*with_working=*/false);
    row.run = [&told] { return run_session_show(told); };
    return row;
}

}  // namespace

std::vector<CommandDescription> session_rows(SessionOptions& told) {
    std::vector<CommandDescription> rows;
    for (auto* make : {start_row, wear_row, checked_row, run_row, event_row, end_row, correct_row,
                       next_row, show_row})
        rows.push_back(make(told));
    return rows;
}

}  // namespace earbudget::cli
