// Verification, backups, erasing, and what of it takes long.
#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fstream>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/jobs.hpp"
#include "desk/register_pages.hpp"
#include "desk/register_routes.hpp"
#include "desk/session_begin.hpp"
#include "earbudget/study/input_error.hpp"
#include "records/register_done.hpp"
#include "records/session_state.hpp"

namespace earbudget::desk {

namespace {

namespace fs = std::filesystem;
using registers::Access;
using registers::Register;
using report::html::element;
using report::html::section;
using report::html::text;

constexpr std::string_view between_name_and_time = "-backup-";

records::RegisterDone register_done_now(std::string action, const OfRegister& opened) {
    return {std::move(action), records::file_of(opened.from), record_of_today()};
}

Reply told_of_register(const Asked& asked, const std::string& title,
                       const records::RegisterDone& done, const std::string& more = {}) {
    return framed(asked,
                  {.here = "/register",
                   .title = title,
                   .main = part_of_page(records::done_document(done, /*detail=*/true)) + more +
                           element("p", "acts", link("/register", "The register", "act"))});
}

/// The head that was noted, where one was typed. Throws InputError for what is none.
std::optional<registers::Head> head_in(const Asked& asked) {
    const auto typed = asked.form.filled("head");
    if (!typed) return std::nullopt;
    auto head = registers::Head::parse(*typed);
    if (!head) {
        throw InputError({"head"}, fmt::format("\"{}\" is no head; accepted: N:HASH as reports, "
                                               "sheets and backups print it, a number, a colon and "
                                               "64 digits from 0 to f, or nothing",
                                               *typed));
    }
    return head;
}

/// Where the next backup goes: beside the register, by the time in UTC.
std::string place_of_backup(const std::string& in_register) {
    const fs::path path(in_register);
    std::string time =
        rfc3339({now(), 0}).substr(0, std::string_view("2026-11-29T18:05:00").size());
    std::erase(time, ':');
    std::erase(time, '-');
    return (path.parent_path() / fmt::format("{}{}{}{}", path.stem().string(),
                                             between_name_and_time, time,
                                             path.extension().string()))
        .string();
}

/// Whether the desk hands out this backup: a file beside the register, named as the desk names
/// them.
bool is_beside(const registers::BackupRecord& backup, const std::string& in_register) {
    const fs::path own(in_register), copy(backup.file);
    return backup.is_there && copy.parent_path() == own.parent_path() &&
           copy.filename().string().starts_with(own.stem().string() +
                                                std::string(between_name_and_time)) &&
           fs::is_regular_file(fs::symlink_status(copy));
}

/// The backup that an entry tells of. Throws InputError for none.
registers::BackupRecord backup_asked(const Asked& asked, const OfRegister& opened) {
    const std::string& entry = asked.query.get("entry");
    for (registers::BackupRecord& backup : opened.from.backups())
        if (fmt::format("{}", backup.n) == entry) return std::move(backup);
    throw InputError({opened.from.path()},
                     "no such entry tells of a backup; accepted: what the pages lead to");
}

/// Of a page that the command line made, what is said in it, without record and cautions.
std::string_view said_in(std::string_view page) {
    constexpr std::string_view begin = "<main id=\"main\">\n";
    const std::size_t from = page.find(begin);
    if (from == std::string_view::npos) return {};
    page.remove_prefix(from + begin.size());
    const std::size_t record = page.find("<section class=\"part\" id=\"record\"");
    return page.substr(0, std::min(record, page.find("</main>")));
}

std::string kept_with(const Job& job, std::string_view name) {
    for (const auto& [known, value] : job.kept)
        if (known == name) return value;
    return "";
}

bool ended_well(const Job& job) {
    // 0: computed; 1: somebody over a limit, or damage found: an answer too.
    return job.answer && (job.answer->status == 0 || job.answer->status == 1) &&
           !job.answer->output.empty();
}

std::string why_job_failed(const ChildAnswer& answer) {
    if (answer.too_long) return element("p", "wrong", "It took longer than an hour.");
    std::vector<std::string> lines;
    std::string_view rest = answer.errors;
    constexpr std::size_t most_lines = 20;
    while (!rest.empty() && lines.size() < most_lines) {
        const std::size_t end = std::min(rest.find('\n'), rest.size());
        if (end > 0) lines.emplace_back(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return element("p", "wrong", "That could not be done:") + report::html::list_of(lines);
}

std::string ended_markup(const Job& job) {
    const std::string back = element("p", "acts", link("/register", "The register", "act"));
    if (!job.answer) return "";
    if (!ended_well(job)) return why_job_failed(*job.answer) + back;
    if (!kept_with(job, "embedded").empty()) return std::string(said_in(job.answer->output)) + back;
    const bool is_kept = !kept_with(job, "file").empty();
    return element("p", "It is made.") +
           element("p", "acts",
                   link(fmt::format("/register/job/{}/file", job.name),
                        is_kept ? "Keep the file" : "Open the report", "act")) +
           back;
}

Job job_named(const Opened& desk, const std::string& name) {
    auto job = desk.jobs->find("register", name);
    if (!job) throw InputError({"desk"}, "knows no such work any more; accepted: to ask again");
    return *std::move(job);
}

/// What erasing would do: no more than the register itself knows.
std::string erasing_words(const OfRegister& opened, const registers::PersonCopy& copy) {
    const std::vector<std::string> words = {
        fmt::format(
            "{} of {} {} deleted for good: codes, contents and salts, for every code of "
            "the person. Nobody can bring them back.",
            copy.entries.size() == 1 ? "1 entry" : fmt::format("{} entries", copy.entries.size()),
            fmt::format("{}", fmt::join(copy.codes, ", ")),
            copy.entries.size() == 1 ? "is" : "are"),
        "What the person heard no longer counts in any total, study or month.",
        "The headers of the entries stay, so that the rest of the register can still be verified.",
        opened.from.backups().empty()
            ? "No backup is known that may hold the person; copies made otherwise, exports and "
              "printed reports are not known to the register."
            : "Backups that hold the person are named afterwards: each must be deleted, or the "
              "person erased in it too. So must exports, printed reports and the list of names.",
        "To hand the person a copy first, keep the export on the person's page."};
    return report::html::list_of(words);
}

Reply erasing_page(const Asked& asked, const OfRegister& opened, const std::string& as,
                   const std::string& wrong, int status) {
    const registers::PersonCopy copy = opened.from.copy_of(as);
    const std::string form =
        post_form(asked, "/register/erase",
                  hidden("as", as) +
                      field({.name = "confirm",
                             .label = "The code once more",
                             .hint = "as it is written: " + as,
                             .wrong = wrong,
                             .attributes = "required maxlength=\"60\" autocomplete=\"off\""}) +
                      teller_field(asked) +
                      element("p", "acts",
                              button("Erase this person for good", {}, {}, {}, "grave") +
                                  link("/register/person?as=" + serving::in_address(as),
                                       "Leave it as it is", "act")));
    return framed(asked,
                  {.here = "/register",
                   .title = "Erasing " + as,
                   .main = section("what", 2, "What it does", erasing_words(opened, copy)) +
                           section("confirm-it", 2, "To have it done", form)},
                  status);
}

}  // namespace

Reply register_verify(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    const auto head = head_in(asked);
    const auto from = Register::open(*desk.in_register, Access::Verify);
    bool is_long = true;
    try {
        is_long = from.head().n > OfRegister::most_entries_at_once;
    } catch (const InputError&) {
        // Damaged so that it does not tell where it ends: what verifies it says so.
    }
    if (is_long) {
        std::vector<std::string> arguments = {"register", "verify", *desk.in_register};
        if (head) arguments.push_back("--head=" + head->text());
        return answer_later(desk, {.title = "Every entry held against the chain",
                                   .arguments = std::move(arguments),
                                   .format = "html",
                                   .embedded = true});
    }
    const auto verified = from.verify(head);
    records::RegisterDone done{
        "verify", {from.path(), from.settings(), verified.head}, record_of_today()};
    done.verified = verified;
    return told_of_register(asked, "Every entry held against the chain", done);
}

Reply register_backup(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    if (!told_by(asked)) return at_session::who_tells_it(asked, "/register");
    OfRegister opened = open_register(desk, Access::Write);
    const std::string place = place_of_backup(*desk.in_register);
    const auto by = told_by(asked);
    if (opened.is_long()) {
        std::vector<std::string> arguments = {"register", "backup", *desk.in_register, place};
        if (by) arguments.push_back("--by=" + *by);
        return answer_later(desk, {.title = "A copy of the register",
                                   .arguments = std::move(arguments),
                                   .format = "html",
                                   .embedded = true});
    }
    const auto backup = opened.from.backup(place, by);
    return Reply::see(fmt::format("/register/backup?entry={}", backup.n));
}

Reply register_backup_made(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    const OfRegister opened = open_register(desk);
    records::RegisterDone done = register_done_now("backup", opened);
    done.backup = backup_asked(asked, opened);
    const std::string more =
        is_beside(*done.backup, *desk.in_register)
            ? element("p", "acts",
                      link(fmt::format("/register/copy?entry={}", done.backup->n),
                           "Keep this copy elsewhere too", "act"))
            : "";
    return told_of_register(asked, "A copy of the register", done, more);
}

Reply register_copy(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    constexpr std::uintmax_t largest = std::uintmax_t{256} << 20U;  // own choice: kept in memory
    if (!desk.in_register) return without_register(asked);
    const OfRegister opened = open_register(desk);
    const registers::BackupRecord backup = backup_asked(asked, opened);
    std::error_code failure;
    if (!is_beside(backup, *desk.in_register) || fs::file_size(backup.file, failure) > largest) {
        return refused(asked, 422, "That copy is not handed out here",
                       {"Accepted: a backup of up to 256 MB that was made here and is where it "
                        "was made. Copy the file itself: " +
                        backup.file});
    }
    std::ifstream file(backup.file, std::ios::binary);
    std::string content((std::istreambuf_iterator<char>(file)), {});
    return Reply::download(std::move(content), "application/vnd.sqlite3",
                           fs::path(place_of_backup("backup.register")).filename().string());
}

Reply register_erasing(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    return erasing_page(asked, open_register(desk), asked.query.get("as"), "", 200);
}

Reply register_erase(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    if (!told_by(asked)) return at_session::who_tells_it(asked, "/register");
    OfRegister opened = open_register(desk, Access::Write);
    const std::string& as = asked.form.get("as");
    if (asked.form.get("confirm") != as)
        return erasing_page(asked, opened, as, "That is not the code. Nothing was erased.", 422);
    records::refuse_open_session(opened.from, as, "erase");
    const auto by = told_by(asked);
    if (opened.is_long()) {
        std::vector<std::string> arguments = {"register", "erase", *desk.in_register, "--as=" + as,
                                              "--confirm=" + as};
        if (by) arguments.push_back("--by=" + *by);
        return answer_later(desk, {.title = "Erasing a person",
                                   .arguments = std::move(arguments),
                                   .format = "html",
                                   .embedded = true});
    }
    const registers::Erased erased = opened.from.erase(as, by);
    records::RegisterDone done = register_done_now("erase", opened);
    done.erased = erased;
    return told_of_register(asked, "Erased", done);
}

Reply register_job(const Opened& desk, const Asked& asked, const Parts& parts) {
    const Job job = job_named(desk, parts.front());
    return job_page(asked, job, "/register", ended_markup(job));
}

Reply register_job_file(const Opened& desk, const Asked& asked, const Parts& parts) {
    const Job job = job_named(desk, parts.front());
    if (!ended_well(job)) return job_page(asked, job, "/register", ended_markup(job));
    const std::string format = kept_with(job, "format"), file = kept_with(job, "file");
    if (file.empty()) return Reply::page(job.answer->output);
    const std::string type = format == "csv"    ? "text/csv; charset=utf-8"
                             : format == "json" ? "application/json"
                                                : "text/html; charset=utf-8";
    return Reply::download(job.answer->output, type, file);
}

}  // namespace earbudget::desk
