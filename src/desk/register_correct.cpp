// What is changed by a form: an entry in the place of another, codes that are one person's.
#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/register_pages.hpp"
#include "desk/register_routes.hpp"
#include "desk/session_begin.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/written_values.hpp"
#include "records/entry_words.hpp"
#include "records/session_recorder.hpp"

namespace earbudget::desk {

namespace {

using registers::Entry;
using registers::Register;
using report::html::element;
using report::html::section;
using report::html::text;

/// Thrown where somebody recorded something of the person since the form was made.
struct RecordedMeanwhile {
    std::vector<std::string> what;
    std::int64_t newest;
};

std::int64_t entry_number_in(const std::string& words) {
    std::int64_t number = 0;
    const auto [end, error] = std::from_chars(words.data(), words.data() + words.size(), number);
    return error == std::errc() && end == words.data() + words.size() ? number : 0;
}

/// Throws RecordedMeanwhile for entries of a person behind the one that a form knew of.
void refuse_if_newer(const Register& from, const std::string& code, std::int64_t known) {
    if (from.head().n <= known) return;
    sessions::RecordCache cache;
    RecordedMeanwhile meanwhile{{}, from.head().n};
    for (const Entry& entry : from.copy_of(code).entries) {
        if (entry.n <= known) continue;
        const std::string words = records::words_of_entry(entry, cache);
        meanwhile.what.push_back(
            fmt::format("entry {}, {}, {}{}{}{}", entry.n, registers::entry_kinds[entry.kind].name,
                        rfc3339({entry.from, entry.offset_minutes}), words.empty() ? "" : ": ",
                        words, entry.by ? ", told by " + *entry.by : ""));
    }
    if (!meanwhile.what.empty()) throw std::move(meanwhile);
}

constexpr std::array<std::string_view, 4> correction_fields = {"entry", "how", "lasted", "why"};

CorrectionForm correction_in(const Asked& asked) {
    CorrectionForm form{.as = asked.form.filled("as").value_or(""),
                        .newest = entry_number_in(asked.form.get("newest"))};
    for (const std::string_view name : correction_fields)
        if (auto value = asked.form.filled(name)) form.values[std::string(name)] = *value;
    return form;
}

/// What a form tells; what is wrong with a field is written beside it.
records::CorrectionTold correction_told(CorrectionForm& form) {
    records::CorrectionTold told{.entry = entry_number_in(form.values["entry"]),
                                 .never = form.values["how"] == "never",
                                 .why = form.values["why"]};
    if (told.entry <= 0) form.wrong["entry"] = "Accepted: the number of an entry.";
    if (told.why.empty()) form.wrong["why"] = "Accepted: a few words, and no names.";
    if (told.never) return told;
    if (form.values["how"] != "lasted") form.wrong["how"] = "Accepted: one of these.";
    told.lasting = files::parse_duration(form.values["lasted"]);
    if (!told.lasting)
        form.wrong["lasted"] = fmt::format("Accepted: {}.", "a time such as 8 min, 90 s or 6:30");
    return told;
}

Reply correction_again(const Asked& asked, const CorrectionForm& form, int status,
                       const std::string& before = {}) {
    return framed(asked,
                  {.here = "/register",
                   .title = "Correct an entry",
                   .main = before + correction_form(asked, form)},
                  status);
}

std::string meanwhile_part(const RecordedMeanwhile& meanwhile) {
    return section("meanwhile", 2, "Somebody recorded something of this person meanwhile",
                   report::html::list_of(meanwhile.what) +
                       element("p",
                               "Nothing of yours was recorded. Where it is still right, "
                               "record it now."));
}

/// Whether an entry is of a person, by any of their codes, or of a session in which they were. One
/// that is not there is nobody's: the recorder says so.
bool is_of_person(const Register& from, std::int64_t entry, const std::string& as) {
    const auto codes = from.codes_of(as);
    const auto is_theirs = [&](const Entry& one) {
        return one.as && std::ranges::find(codes, *one.as) != codes.end();
    };
    const auto history = from.history(entry);
    if (history.empty() || std::ranges::any_of(history, is_theirs)) return true;
    const auto& session = history.front().session;
    return session && std::ranges::any_of(from.of_session(*session), is_theirs);
}

/// Whose entry it is: where a correction leads to.
std::string code_of_entry(const Register& from, std::int64_t entry, const std::string& asked) {
    for (const Entry& one : from.history(entry))
        if (one.as) return *one.as;
    return asked;
}

}  // namespace

std::string correction_form(const Asked& asked, const CorrectionForm& form) {
    const auto in = [](const auto& map, const char* name) {
        const auto found = map.find(name);
        return found == map.end() ? std::string() : found->second;
    };
    std::string fields = hidden("newest", fmt::format("{}", form.newest)) + hidden("as", form.as);
    if (form.entries.empty()) {
        fields += field({.name = "entry",
                         .label = "Number of the entry",
                         .value = in(form.values, "entry"),
                         .hint = "as tables and the pages of sessions name it",
                         .wrong = in(form.wrong, "entry"),
                         .attributes = "required inputmode=\"numeric\" maxlength=\"12\""});
    } else {
        // A run is what is corrected most.
        const auto run = std::ranges::find_if(form.entries, [](const auto& entry) {
            return entry.second.starts_with(entry.first + ": run");
        });
        fields += choice({.name = "entry",
                          .label = "Entry",
                          .options = form.entries,
                          .value = run == form.entries.end() ? "" : run->first});
    }
    fields +=
        choice({.name = "how",
                .label = "What is right",
                .options = {{"lasted", "it ran for another time"}, {"never", "it did not happen"}},
                .value = in(form.values, "how"),
                .wrong = in(form.wrong, "how")});
    fields += field({.name = "lasted",
                     .label = "It ran for",
                     .value = in(form.values, "lasted"),
                     .hint = "a time such as 8 min, 90 s or 6:30; of a run or a task alone",
                     .wrong = in(form.wrong, "lasted"),
                     .attributes = "maxlength=\"40\""});
    fields += field({.name = "why",
                     .label = "Why",
                     .value = in(form.values, "why"),
                     .hint = "stays in the register; no names",
                     .wrong = in(form.wrong, "why"),
                     .attributes = "required maxlength=\"500\""});
    fields += teller_field(asked);
    fields += element("p", "soft",
                      "The entry stays in the register's history; the correction stands in its "
                      "place from now on, for everybody who heard the same run.");
    return post_form(
        asked, "/register/correct",
        fields + element("p", "acts", button("Record the correction", {}, {}, {}, "main")));
}

Reply register_correct(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    constexpr int bad_input = 422, conflict = 409;
    if (!desk.in_register) return without_register(asked);
    if (!told_by(asked)) return at_session::who_tells_it(asked, "/register");
    CorrectionForm form = correction_in(asked);
    const records::CorrectionTold told = correction_told(form);
    if (!form.wrong.empty()) return correction_again(asked, form, bad_input);
    try {
        OfRegister opened = open_register(desk, registers::Access::Write);
        if (!is_of_person(opened.from, told.entry, form.as)) {
            form.wrong["entry"] = fmt::format(
                "Entry {} is not of {}, nor of a session of theirs. "
                "Accepted: an entry of this person.",
                told.entry, form.as);
            return correction_again(asked, form, bad_input);
        }
        const std::string as = code_of_entry(opened.from, told.entry, form.as);
        const records::SessionDone done = opened.from.in_one([&] {
            if (opened.from.knows(as)) refuse_if_newer(opened.from, as, form.newest);
            records::SessionRecorder recorder(opened.from, {.by = told_by(asked)},
                                              record_of_today().date);
            return recorder.correct(told);
        });
        return Reply::see(fmt::format("/register/session/{}?as={}&done={}", done.session,
                                      serving::in_address(as), done.entries.front().n));
    } catch (const RecordedMeanwhile& meanwhile) {
        form.newest = meanwhile.newest;
        return correction_again(asked, form, conflict, meanwhile_part(meanwhile));
    } catch (const files::InputErrors& errors) {
        return correction_again(asked, form, bad_input, report::html::list_of(words_of(errors)));
    } catch (const InputError& error) {
        return correction_again(asked, form, bad_input, report::html::list_of({error.what()}));
    }
}

Reply register_link(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    constexpr int conflict = 409;
    if (!desk.in_register) return without_register(asked);
    if (!told_by(asked, "linked_by")) return at_session::who_tells_it(asked, "/register");
    const std::string one = asked.form.filled("one").value_or("");
    const std::string other = asked.form.filled("other_code").value_or("");
    OfRegister opened = open_register(desk, registers::Access::Write);
    try {
        const std::int64_t entry = opened.from.in_one([&] {
            const std::int64_t known = entry_number_in(asked.form.get("newest"));
            for (const std::string& code : {one, other})
                if (opened.from.knows(code)) refuse_if_newer(opened.from, code, known);
            return opened.from.link(one, other, told_by(asked, "linked_by"));
        });
        return Reply::see(
            fmt::format("/register/person?as={}&done={}", serving::in_address(one), entry));
    } catch (const RecordedMeanwhile& meanwhile) {
        return framed(asked,
                      {.here = "/register",
                       .title = "Two codes of one person",
                       .main = meanwhile_part(meanwhile) +
                               element("p", "acts", link("/register", "Back to the form", "act"))},
                      conflict);
    }
}

}  // namespace earbudget::desk
