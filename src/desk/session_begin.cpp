#include "desk/session_begin.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_before.hpp"
#include "desk/session_begin_form.hpp"
#include "desk/studies.hpp"
#include "files/ids.hpp"
#include "records/register_file.hpp"
#include "records/session_recorder.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::desk::at_session {

namespace {

using report::html::element;
using report::html::escaped;
using report::html::section;
using report::html::text;

constexpr int unusable = 422;
struct Beginning {
    const Opened& desk;
    const Asked& asked;
    registers::Register from;
    std::string plan_name;
    std::shared_ptr<const Kept> kept = nullptr;

    [[nodiscard]] const Form& form() const { return asked.form; }
    [[nodiscard]] const Plan& plan() const { return kept->plan->loaded.plan; }
    [[nodiscard]] HeardBefore heard() const {
        const auto as = form().filled("as");
        if (!as) return {};
        const auto person = std::ranges::find(plan().people, form().get("person"), &Person::id);
        return before(from, *as, person == plan().people.end() ? Role::Participant : person->role);
    }
};

Beginning beginning(const Opened& desk, const Asked& asked) {
    Beginning at{desk, asked, registers::Register::open(*desk.in_register, registers::Access::Read),
                 asked.is_post() ? asked.form.get("plan") : asked.query.get("plan")};
    if (at.plan_name.empty()) return at;
    const Listed listed = plan_named(desk, at.plan_name);
    if (listed.is_study)
        throw InputError({at.plan_name}, "is a study of visits; accepted: the plan of one visit");
    at.kept = desk.studies->assessed(desk, listed);
    return at;
}

/// The last part of the form: what was heard before, and the button.
std::string before_part(const HeardBefore& heard) {
    return part("before",
                heard.markup + hidden("read", heard.seal) +
                    element("p", "acts",
                            "<button class=\"main\" id=\"begin-now\">Begin the session"
                            "</button>\n<button id=\"look\" formaction=\"/session/before\""
                            " formnovalidate>What was heard before?</button>\n"));
}

std::string begin_form(const Beginning& at, const HeardBefore& heard) {
    const Form& form = at.form();
    std::string fields = hidden("plan", at.plan_name) + known_codes(at.from) +
                         person_choice(at.plan(), form.get("person")) +
                         field({.name = "as",
                                .label = "Their code in the register",
                                .value = form.get("as"),
                                .hint = "never a name, without a blank; a new code is a new person",
                                .attributes = std::string(code_attributes)});
    if (at.asked.by_is_settled) {
        fields += element("p", text("Told by " + at.asked.by + ", as the web server says."));
    } else {
        const std::string by = form.has("by") ? form.get("by") : at.asked.by;
        fields += field({.name = "by",
                         .label = "Your own code, who tells this",
                         .value = by,
                         .hint = "stands with everything that is recorded",
                         .attributes = std::string(code_attributes)});
    }
    fields += present_fields(at.plan(), form) + before_part(heard);
    return post_form(at.asked, "/session", fields, "data-answers=\"/session/before\"");
}

Reply page_to_begin(const Beginning& at, const HeardBefore& heard,
                    const std::vector<std::string>& said = {}, int status = 200) {
    std::string main = open_list(at.from);
    std::string begin = plan_form(at.desk, at.plan_name);
    if (at.kept) begin += begin_form(at, heard);
    main += section("begin", 2, "Begin one", begin);
    return framed(
        at.asked,
        {.here = "/session", .title = "Session", .main = main, .look = "begin", .said = said},
        status);
}

void check_code(const char* whose, const std::string& code) {
    if (const auto why = files::why_no_id(code))
        throw InputError({whose},
                         fmt::format("is \"{}\"{}; accepted: {}", code, *why, files::accepted_ids));
}

records::SessionBegin told_to_begin(const Beginning& at) {
    records::SessionBegin begin{.plan = plan_named(at.desk, at.plan_name).path,
                                .person = at.form().get("person"),
                                .as = at.form().filled("as").value_or("")};
    for (const Person& person : at.plan().people)
        if (const auto code = at.form().filled("present-" + person.id))
            begin.present.emplace_back(person.id, *code);
    return begin;
}

Reply begin_now(const Beginning& at) {
    records::SessionAsked told;
    std::string by = at.asked.by;
    if (!at.asked.by_is_settled) by = at.form().filled("by").value_or("");
    check_code("your own code", by);
    told.by = by;
    if (const auto cleared = at.form().filled("cleared_by")) told.cleared_by = *cleared;
    auto into = registers::Register::open(*at.desk.in_register, registers::Access::Write);
    records::SessionRecorder recorder(into, told, today_here().date);
    const records::SessionDone done = recorder.start(told_to_begin(at));
    Reply reply = Reply::see(fmt::format("/session/{}", done.session));
    if (!at.asked.by_is_settled) reply.teller = by;
    return reply;
}

}  // namespace

Reply no_register(const Asked& asked) {
    return refused(asked, unusable, "No register",
                   {"Nothing that runs can be recorded: start the desk with --register FILE, which "
                    "earbudget register create makes."});
}

Reply begin_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return no_register(asked);
    return page_to_begin(beginning(desk, asked), {});
}

Reply heard_before(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return no_register(asked);
    const Beginning at = beginning(desk, asked);
    return page_to_begin(at, at.kept ? at.heard() : HeardBefore{});
}

Reply begun(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return no_register(asked);
    const Beginning at = beginning(desk, asked);
    if (!at.kept) return page_to_begin(at, {}, {"Not begun: which plan is not told."}, unusable);
    const HeardBefore heard = at.heard();
    if (heard.must_be_read && at.form().get("read") != heard.seal) {
        return page_to_begin(at, heard,
                             {"Not begun yet: read first what this person heard before, then press "
                              "Begin once more."});
    }
    try {
        return begin_now(at);
    } catch (const files::InputErrors& errors) {
        auto words = words_of(errors);
        words.insert(words.begin(), "Not begun:");
        return page_to_begin(at, heard, words, unusable);
    } catch (const InputError& error) {
        return page_to_begin(at, heard, {"Not begun:", error.what()}, unusable);
    }
}

Reply who_tells_it(const Asked& asked, const std::string& back) {
    const std::string fields = hidden("back", back) +
                               field({.name = "by",
                                      .label = "Your own code",
                                      .hint = "stands with everything that is recorded; no name",
                                      .attributes = std::string(code_attributes)}) +
                               element("p", "acts", button("I tell it", {}, {}, {}, "main"));
    return framed(asked,
                  {.here = back.starts_with("/register") ? "/register" : "/session",
                   .title = "Who tells it?",
                   .main = element("p",
                                   "Nothing was recorded: nobody is named who tells it. "
                                   "Name yourself, then press once more what you pressed.") +
                           post_form(asked, "/teller", fields)},
                  unusable);
}

Reply teller_named(const Opened& /*desk*/, const Asked& asked, const Parts& /*parts*/) {
    const std::string by = asked.form.filled("by").value_or("");
    check_code("your own code", by);
    // Of addresses those of sessions alone are gone back to.
    const std::string& back = asked.form.get("back");
    constexpr std::string_view begin = "/session/";
    const bool is_session = back.starts_with(begin) && back.size() > begin.size() &&
                            back.find_first_not_of("0123456789", begin.size()) == std::string::npos;
    Reply reply = Reply::see(is_session || back == "/register" ? back : "/session");
    reply.teller = by;
    return reply;
}

}  // namespace earbudget::desk::at_session
