#include <fmt/format.h>

#include "records/register_done.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

using Sentences = std::vector<std::string>;

std::string counted(std::int64_t count, std::string_view one, std::string_view several) {
    return fmt::format("{} {}", count, count == 1 ? one : several);
}

std::string kept_sentence(const registers::RegisterSettings& settings) {
    return settings.retention_days
               ? fmt::format(
                     "Entries of a person are kept {} after the last of them; register due "
                     "lists whose time has come, and nothing is erased by itself.",
                     counted(*settings.retention_days, "day", "days"))
               : std::string("No retention is set: entries are kept until a person is erased.");
}

Sentences created(const RegisterDone& done) {
    const auto& settings = done.file.settings;
    return {done.time_zone_of_machine
                ? fmt::format("No time zone was stated: that of this machine counts, {}. Where the "
                              "site has another one, delete this file and state it: --time-zone.",
                              settings.time_zone)
                : std::string(),
            fmt::format("Its days and weeks are those of {}. That, its title and its retention are "
                        "part of what its hashes stand for and cannot be changed later.",
                        settings.time_zone),
            kept_sentence(settings)};
}

Sentences of_verification(const registers::Verification& verified) {
    Sentences all;
    for (const registers::Finding& finding : verified.findings)
        all.push_back(finding.text());
    if (!verified.is_intact()) {
        all.emplace_back(
            "What is told of this register cannot be relied upon. Keep the file as it "
            "is, and go on with the last backup that register verify finds intact.");
    }
    for (std::string& one : not_proven(verified))
        all.push_back(std::move(one));
    if (!verified.clock_was_set_back.empty()) {
        all.push_back(fmt::format("The clock was set back before {}: no fault by itself.",
                                  entries_words(verified.clock_was_set_back)));
    }
    return all;
}

std::string backup_words(const registers::BackupRecord& backup) {
    return fmt::format("{}, made {}, head {}{}", backup.file, rfc3339({backup.made, 0}),
                       backup.head.text(), backup.is_there ? "" : ", not found there now");
}

Sentences of_erasing(const registers::Erased& erased) {
    Sentences all = {fmt::format(
        "Gone: codes, content and salts of {}. The headers of the entries stay, so that "
        "the rest can be proven. Entry {} tells of it, and of no code.",
        counted(erased.entries, "entry", "entries"), erased.n)};
    for (const auto& backup : erased.backups)
        all.push_back("This backup still holds the person: " + backup_words(backup));
    if (!erased.backups.empty()) {
        all.emplace_back(
            "Delete those backups or erase the person in each of them too, as well as "
            "in copies, exports and printed reports that the register knows nothing "
            "of, and in the list of names.");
    } else {
        all.emplace_back(
            "No backup that this register knows of holds the person. Copies of the "
            "file that were made otherwise, exports, printed reports and the list of "
            "names are not known to it.");
    }
    if (erased.traces_left) {
        all.emplace_back(
            "Others read the file meanwhile, so that free places in it could not be "
            "wiped: close what reads it, then open the register once more to write.");
    }
    return all;
}

Sentences of_import(const std::vector<Imported>& all) {
    Sentences said;
    for (const Imported& one : all) {
        said.push_back(fmt::format(
            "{}: {} in {}, entries {} to {}", one.as,
            counted(static_cast<std::int64_t>(one.runs), "run", "runs"),
            counted(static_cast<std::int64_t>(one.sessions.size()), "session", "sessions"),
            one.first, one.last));
        if (one.lower_bound) {
            said.emplace_back(
                "That is a lower bound: discarded, failed and repeated runs are "
                "missing in scans that were kept. Every answer that holds these "
                "entries says so.");
        }
        for (const std::string& note : one.notes)
            said.push_back(note);
    }
    said.emplace_back(
        "Levels are those of today's cards and protectors, computed now. Between the runs of one "
        "day "
        "the plan's background counts, before the first and after the last nothing does.");
    return said;
}

report::Table due_table(const std::vector<registers::Due>& all) {
    report::Table table{.name = "Whose time has come",
                        .columns = {{.key = "codes", .title = "codes", .number = false},
                                    {.key = "newest", .title = "last entry", .number = false},
                                    {.key = "entries", .title = "entries", .decimals = 0}}};
    for (const registers::Due& due : all) {
        table.rows.push_back({{report::joined(due.codes, ", "), rfc3339({due.newest, 0}),
                               static_cast<double>(due.entries)}});
    }
    return table;
}

std::string headline(const RegisterDone& done) {
    const std::string& file = done.file.file;
    if (done.verified && !done.verified->is_intact())
        return fmt::format("NOT AS IT WAS RECORDED: {}", file);
    if (done.verified) {
        return fmt::format("Nothing was changed, removed or moved in {}: {}, {} of them erased",
                           file, counted(done.verified->entries, "entry", "entries"),
                           done.verified->erased);
    }
    if (done.backup) return fmt::format("Copied: all until entry {}", done.backup->head.n);
    if (done.linked)
        return fmt::format("One person from now on: {}", report::joined(done.linked->codes, ", "));
    if (done.erased)
        return fmt::format("Erased for good: {}", report::joined(done.erased->codes, ", "));
    if (done.due) {
        return done.due->empty()
                   ? std::string("Nobody's time has come.")
                   : fmt::format(
                         "Kept longer than the site's {}: {}",
                         counted(done.file.settings.retention_days.value_or(0), "day", "days"),
                         counted(static_cast<std::int64_t>(done.due->size()), "person", "people"));
    }
    if (done.imported) return fmt::format("Recorded in {}", file);
    return fmt::format("Made: {}, an empty register", file);
}

Sentences sentences_of(const RegisterDone& done) {
    if (done.verified) return of_verification(*done.verified);
    if (done.backup) {
        return {"The copy: " + backup_words(*done.backup),
                fmt::format("Entry {} tells of it. Keep it where only those can read it who may "
                            "read the register; register verify {} holds good for it too.",
                            done.backup->n, done.backup->file)};
    }
    if (done.linked) {
        return {
            fmt::format("Entry {} tells of it; what was recorded by either code counts for one "
                        "person in every answer.",
                        done.linked->entry)};
    }
    if (done.erased) return of_erasing(*done.erased);
    if (done.due) return {kept_sentence(done.file.settings)};
    if (done.imported) return of_import(*done.imported);
    return created(done);
}

}  // namespace

Sentences not_proven(const registers::Verification& verified) {
    if (!verified.held_against) {
        return {
            "Not proven: that nothing was cut off at the end, and that the whole was not "
            "written anew. Give a head of an earlier time for that, as each report, sheet and "
            "backup prints it: --head N:HASH."};
    }
    if (!verified.is_intact()) return {};
    const std::int64_t until = verified.proven_until();
    Sentences all = {fmt::format("Proven until entry {}: it is the register of that head.", until)};
    if (verified.entries > until) {
        all.push_back(fmt::format(
            "Not proven of what came after entry {}: that nothing was cut off behind it, and that "
            "it was not written anew since. The present head proves that from now on.",
            until));
    }
    return all;
}

report::Document done_document(const RegisterDone& done, bool detail) {
    report::Document document{
        .head = {"register " + done.action, "The register of what was heard",
                 done.file.settings.title.empty() ? done.file.file : done.file.settings.title,
                 done.file.file, done.record.date}};
    std::vector<report::Block> blocks = {{report::Paragraph{report::strong(headline(done))}},
                                         {report::sentences(sentences_of(done), /*bullets=*/true)}};
    if (done.due && !done.due->empty()) blocks.push_back({due_table(*done.due)});
    document.sections.push_back({"answer", "Answer", std::move(blocks)});
    add_record_of_register(done.file, done.record, {}, {}, detail, document);
    return document;
}

}  // namespace earbudget::records
