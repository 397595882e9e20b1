#include "records/register_done.hpp"
#include "report/cautions.hpp"
#include "report/fields.hpp"

namespace earbudget::report {

template <>
FieldTable<registers::Finding> describe() {
    using Of = registers::Finding;
    return {{"code",
             [](const Of& of) { return std::string(registers::damages[of.what].name); },
             {.names =
                  [] {
                      const auto names = registers::damages.names();
                      return std::vector<std::string>(names.begin(), names.end());
                  }}},
            {"entry", &Of::n, "null where it is the register as a whole"},
            {"text", &Of::text}};
}

template <>
FieldTable<registers::Verification> describe() {
    using Of = registers::Verification;
    return {{"intact", &Of::is_intact},
            {"findings", &Of::findings, "first things first, at most a hundred"},
            {"entries", &Of::entries},
            {"erased", &Of::erased, "of them without content, as an entry says"},
            {"held_against", &Of::held_against, "the head of --head"},
            {"proven_until", &Of::proven_until,
             "the entry until which nothing can have been cut off or written anew"},
            {"not_proven", records::not_proven},
            {"clock_was_set_back", &Of::clock_was_set_back,
             "entries recorded at an earlier time than the one before"}};
}

template <>
FieldTable<registers::BackupRecord> describe() {
    using Of = registers::BackupRecord;
    return {"#/$defs/backup",
            {{"entry", &Of::n, "that tells of it"},
             {"made",
              [](const Of& of) {
                  return StatedInstant{of.made, 0};
              }},
             {"file", &Of::file},
             {"head", &Of::head, "of what is in it"},
             {"is_there", &Of::is_there}}};
}

template <>
FieldTable<records::Linked> describe() {
    using Of = records::Linked;
    return {{"entry", &Of::entry}, {"codes", &Of::codes, "all of that person"}};
}

template <>
FieldTable<registers::Erased> describe() {
    using Of = registers::Erased;
    return {{"entry", &Of::n, "that tells of it"},
            {"entries", &Of::entries, "whose content is gone"},
            {"codes", &Of::codes},
            {"backups", &Of::backups, "that still hold the person"},
            {"traces_left", &Of::traces_left,
             "others read the file meanwhile, so that free places of it are not wiped yet"}};
}

template <>
FieldTable<registers::Due> describe() {
    using Of = registers::Due;
    return {{"codes", &Of::codes},
            {"newest",
             [](const Of& of) {
                 return StatedInstant{of.newest, 0};
             },
             "when the last of what is recorded ended"},
            {"entries", &Of::entries}};
}

template <>
FieldTable<records::Imported> describe() {
    using Of = records::Imported;
    return {{"as", &Of::as},
            {"from", &Of::from},
            {"sha256", &Of::sha256},
            {"lower_bound", &Of::lower_bound,
             "what was heard is at least that: discarded and failed runs are missing"},
            {"sessions", &Of::sessions},
            {"runs", &Of::runs},
            {"first_entry", &Of::first},
            {"last_entry", &Of::last},
            {"notes", &Of::notes}};
}

template <>
FieldTable<records::RegisterDone> describe() {
    using Of = records::RegisterDone;
    return {"register.schema.json",
            "earbudget register create, verify, backup, link, erase, due, import --format json",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("register"),
             {members_of,
              [](const Of& of) {
                  return records::AnswerBegin{of.action, of.file, of.record};
              }},
             {"verification", [](const Of& of) { return only(of.verified); }},
             {"backup", [](const Of& of) { return only(of.backup); }},
             {"link", [](const Of& of) { return only(of.linked); }},
             {"erased", [](const Of& of) { return only(of.erased); }},
             {"due", [](const Of& of) { return only(of.due); },
              "whom the site need not keep any longer"},
             {"imported", [](const Of& of) { return only(of.imported); }},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report

namespace earbudget::records {

std::string done_json(const RegisterDone& done) { return report::json_of(done); }

const report::ObjectShape& register_shape() { return report::object_shape<RegisterDone>(); }

}  // namespace earbudget::records
