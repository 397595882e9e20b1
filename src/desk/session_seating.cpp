#include "desk/session_seating.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_drawings.hpp"
#include "desk/session_ears.hpp"
#include "desk/session_forms.hpp"
#include "earbudget/advice/phrases.hpp"
#include "report/sentences.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::desk::at_session {

namespace {

using report::html::element;
using report::html::text;

using Ids = std::vector<std::string>;

/// What is handed out; none where nothing can be said, or nobody may be given anything.
const Ids* ids_handed_out(const Somebody& one) {
    if (!one.out) return one.planned ? &one.planned->wears : nullptr;
    const bool is_known =
        one.out->kind == HandOut::Kind::AsPlanned || one.out->kind == HandOut::Kind::Instead;
    return is_known ? &one.out->wears : nullptr;
}

bool is_told_to_wear(const Look& look, const Somebody& one, const Ids& ids) {
    const auto worn = look.state.session.worn.find(one.as);
    return worn != look.state.session.worn.end() && are_same_set(worn->second.wears, ids);
}

/// What to hand out, in words: title of each, or that nobody may start.
std::string out_words(const Plan& plan, const Somebody& one) {
    if (!one.out) {
        return one.planned->wears.empty() ? "nothing, as the plan has it"
                                          : report::worn_title(plan, one.planned->wears);
    }
    switch (one.out->kind) {
        case HandOut::Kind::Nothing:
            return "do not start, call: nothing that can be worn is known to keep the limits";
        case HandOut::Kind::Undecided:
            return "do not start, call: nothing can be said of what the plan has";
        default:
            return one.out->wears.empty() ? "nothing" : report::worn_title(plan, one.out->wears);
    }
}

std::string how(const Plan& plan, const Ids& ids) {
    std::string content;
    for (const std::string& id : in_order(plan.catalogue, ids)) {
        const Protector& protector = plan.catalogue.find(id)->protector;
        content += element("div", "pictures", "\n" + how_to_seat(protector.type));
        content +=
            element("p", text(fmt::format("{}: {}. {}: {}.", report::strong(protector.title),
                                          text_of(say<AdvicePhrase::HowToSeat>(protector.type)),
                                          report::strong("Check"),
                                          text_of(say<AdvicePhrase::HowToCheck>(protector.type)))));
    }
    return content;
}

/// Once both ears are seated the pictures have done their work.
std::string folded_once_seated(const Somebody& one, const std::string& pictures) {
    if (!one.ears.left || !one.ears.right || pictures.empty()) return pictures;
    return "<details id=\"how\"><summary>How it is seated</summary>\n" + pictures + "</details>\n";
}

std::string metal_mark(const Protector& protector) {
    if (protector.metal_free.value_or(false)) return "";
    return protector.metal_free ? ", " + report::strong("not free of metal")
                                : std::string(", not stated whether free of metal");
}

/// Anything of the catalogue, or nothing.
std::string something_else(const Look& look, const Plan& plan, const Somebody& one) {
    std::string boxes;
    for (const CatalogueEntry& entry : plan.catalogue.protectors) {
        const std::string& id = entry.protector.id;
        boxes += fmt::format(
            "<label class=\"box\"><input type=\"checkbox\" id=\"else-{0}\" "
            "name=\"wears\" value=\"{0}\"> {1}</label>\n",
            report::html::escaped(id), text(entry.protector.title + metal_mark(entry.protector)));
    }
    boxes +=
        "<label class=\"box\"><input type=\"checkbox\" id=\"else-poor\" name=\"poor_fit\" "
        "value=\"yes\"> badly seated</label>\n";
    return "<details id=\"else\"><summary>Something else is worn</summary>\n" +
           element("p", "soft", "One, or a plug and an earmuff; none of them: nothing is worn.") +
           tap(look, {.id = "wear-else",
                      .act = "wear",
                      .label = "This is worn now",
                      .fields = {{"as", one.as}},
                      .inside = boxes}) +
           "</details>\n";
}

std::string cannot_wear_words(const Plan& plan, const Somebody& one) {
    const std::string metal = records::metal_words(plan, *one.worn);
    std::string words = metal.empty() ? "" : element("p", "wrong", text(metal + "."));
    for (const std::string& id : one.worn->wears)
        if (std::ranges::find(one.planned->cannot_wear, id) != one.planned->cannot_wear.end())
            words += element("p", "wrong",
                             text("By the plan " + id + " does not fit " + one.id +
                                  ": look whether it is seated."));
    return words;
}

std::string of_participant(const Look& look, const Plan& plan, const Somebody& one) {
    const Ids* out = ids_handed_out(one);
    const bool is_put_on = out && is_told_to_wear(look, one, *out);
    const bool is_other = look.state.session.worn.contains(one.as) && !is_put_on;
    std::string content =
        element("p", "hand", text("Hand out: " + report::strong(out_words(plan, one))));
    if (is_other || is_put_on) {
        content += element(
            "p", text("Worn: " + report::strong(one.worn->wears.empty()
                                                    ? std::string("nothing")
                                                    : report::worn_title(plan, one.worn->wears) +
                                                          report::how_worn(one.worn->wearing))));
        content += cannot_wear_words(plan, one);
    } else if (const std::string counted = counted_words(look); !counted.empty()) {
        content += element("p", "wrong", text(counted));
    }
    if (look.running())
        return content + element("p", "soft", "What is worn is changed once the run is stopped.") +
               (one.worn->wears.empty() ? "" : ticks(look, plan, one)) +
               folded_once_seated(one, how(plan, one.worn->wears));
    if (out && !is_put_on) {
        content += taps({tap(look, {.id = "put-on",
                                    .act = "wear",
                                    .label = out->empty() ? std::string("Nothing is worn")
                                                          : "It is put on: " + out_words(plan, one),
                                    .key = "w",
                                    .look = is_other ? "" : "main",
                                    .fields = wear_fields(one, *out)})});
    }
    const Ids& shown = is_other || !out ? one.worn->wears : *out;
    if (!shown.empty() && (is_put_on || is_other)) content += ticks(look, plan, one);
    content += is_put_on || is_other ? folded_once_seated(one, how(plan, shown)) : how(plan, shown);
    return content + something_else(look, plan, one);
}

/// Of somebody else, where anything is handed out: a line and two taps.
std::string of_other(const Look& look, const Plan& plan, const Somebody& one, std::size_t n) {
    const Ids* out = ids_handed_out(one);
    if (out && out->empty()) return "";
    std::string content = element("p", text(fmt::format("{} ({}): {}", one.as, one.id,
                                                        report::strong(out_words(plan, one)))));
    if (!out || look.running()) return content;
    if (!is_told_to_wear(look, one, *out)) {
        return content + taps({tap(look, {.id = fmt::format("put-on-{}", n),
                                          .act = "wear",
                                          .label = "It is put on: " + out_words(plan, one),
                                          .fields = wear_fields(one, *out)})});
    }
    const bool is_seated = one.ears.left && one.ears.right;
    return content +
           taps({tap(look, {.id = fmt::format("seated-{}", n),
                            .act = "check",
                            .label = is_seated ? "✓ Both ears seated" : "Both ears seated?",
                            .look = is_seated ? "done" : "",
                            .fields = {{"as", one.as}, {"ear", "both"}, {"seated", "yes"}}})});
}

}  // namespace

std::string counted_words(const Look& look) {
    const Somebody& one = look.participant();
    if (!look.plan() || !one.planned || look.state.session.worn.contains(one.as)) return "";
    const auto& planned = one.planned->wears;
    return fmt::format(
        "Counted as {}, as the plan says: nobody told that anything was put on. "
        "Press what is put on, when it is put on.",
        report::strong(planned.empty() ? std::string("nothing worn")
                                       : report::worn_title(*look.plan(), planned)));
}

std::string seating(const Look& look) {
    const Plan* plan = look.plan();
    if (!plan || !look.participant().planned) return "";
    std::string content = of_participant(look, *plan, look.participant());
    std::string others;
    for (std::size_t n = 1; n < look.people.size(); ++n)
        if (look.people[n].planned) others += of_other(look, *plan, look.people[n], n);
    if (!others.empty()) content += element("h3", "Also there") + others;
    return content;
}

}  // namespace earbudget::desk::at_session
