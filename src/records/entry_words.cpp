#include "records/entry_words.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/acoustics/number_text.hpp"
#include "report/assess_words.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::records {

namespace {

using registers::Entry;
using registers::EntryKind;

std::string worn_words(const std::vector<std::string>& wears) {
    return wears.empty() ? "nothing" : report::joined(wears, " + ");
}

std::string presence_words(const Entry& entry, sessions::RecordCache& cache) {
    const auto body = sessions::read_presence(entry.body, cache);
    if (!body) return "cannot be read";
    std::string words = fmt::format("as {}, {}", body->person, name_of(body->role));
    if (body->plan) {
        words += fmt::format(", by the plan {} ({}, SHA-256 {}…)", body->plan->title,
                             body->plan->file, body->plan->sha256.substr(0, 16));
    }
    return words;
}

std::string wear_words(const Entry& entry, sessions::RecordCache& cache) {
    const auto body = sessions::read_wear(entry.body, cache);
    if (!body) return "cannot be read";
    std::string words = worn_words(body->worn.wears);
    if (body->worn.wearing.poor_fit) words += ", poorly seated";
    if (body->worn.wearing.fraction_of_time < 1.0)
        words += fmt::format(", {:g} of the time", body->worn.wearing.fraction_of_time);
    if (body->worn.PAR)
        words += fmt::format(", fit test {} dB", decimal_text(body->worn.PAR->dB(), 1));
    return words;
}

std::string run_words(const Entry& entry, sessions::RecordCache& cache) {
    const auto body = sessions::read_run(entry.body, cache);
    if (!body) return "cannot be read";
    std::string words = body->sequence;
    if (entry.kind != EntryKind::RunStart) {
        const Seconds time(static_cast<double>(entry.to.ms - entry.from.ms) / 1000.0);
        words += ", " + text_of(time);
    }
    if (body->unconfirmed) words += ", how long is not stated";
    return words + ", " + level_words(body->exposure);
}

std::string event_words(const Entry& entry) {
    const auto body = sessions::read_event(entry.body);
    if (!body) return "cannot be read";
    const std::string name(sessions::event_kinds[body->what].name);
    return body->note.empty() ? name : name + ": " + body->note;
}

std::string check_words(const Entry& entry) {
    const auto body = sessions::read_check(entry.body);
    if (!body) return "cannot be read";
    return fmt::format("{}{}{}, {}", sessions::ears_checked[body->ear].name,
                       body->how.empty() ? "" : ", ", body->how,
                       body->seated ? "seated" : "not seated");
}

/// Of what was brought in: from where, and that it is a lower bound.
std::string import_words(const Entry& entry) {
    const auto body = nlohmann::json::parse(entry.body, nullptr, false);
    if (!body.is_object()) return "cannot be read";
    return fmt::format("from {}{}", body.value("from", std::string("elsewhere")),
                       body.value("lower_bound", false) ? ", a lower bound" : "");
}

}  // namespace

std::string level_words(const sessions::SharedRecord& exposure) {
    if (!exposure) return "how loud is not known";
    if (exposure->day.rows.empty()) return "no sound";
    const DayExposure exposure_then = exposure_of(exposure->day);
    if (!exposure_then.LAeq || !exposure_then.at_ear_LAeq) return "no sound";
    std::string words = fmt::format("{} dB(A) at the ear, {} outside",
                                    decimal_text(exposure_then.at_ear_LAeq->dB(), 1),
                                    decimal_text(exposure_then.LAeq->dB(), 1));
    if (exposure->is_unreached())
        for (const Unreached& unreached : exposure->day.unreached)
            words += "; unreduced at the ear: " + text_of(unreached.why());
    return words;
}

std::string words_of_entry(const Entry& entry, sessions::RecordCache& cache) {
    std::string words;
    switch (entry.kind) {
        case EntryKind::SessionStart:
        case EntryKind::Present:
            return presence_words(entry, cache);
        case EntryKind::Wear:
            return wear_words(entry, cache);
        case EntryKind::Check:
            return check_words(entry);
        case EntryKind::RunStart:
        case EntryKind::Run:
        case EntryKind::Task:
            return run_words(entry, cache);
        case EntryKind::Event:
            return event_words(entry);
        case EntryKind::Import:
            return import_words(entry);
        case EntryKind::Clearance: {
            const auto event = sessions::read_clearance(entry.body);
            return event ? fmt::format("of entry {}", *event) : "cannot be read";
        }
        case EntryKind::Correction: {
            const auto body = nlohmann::json::parse(entry.body, nullptr, false);
            const std::string why = body.is_object() ? body.value("why", std::string()) : "";
            return fmt::format("of entry {}{}{}", entry.corrects.value_or(0),
                               why.empty() ? "" : ": ", why);
        }
        default:
            return "";
    }
}

}  // namespace earbudget::records
