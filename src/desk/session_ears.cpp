#include "desk/session_ears.hpp"

#include "desk/frame.hpp"
#include "desk/session_forms.hpp"
#include "report/sheet_parts.hpp"

namespace earbudget::desk::at_session {

namespace {

using report::html::element;

std::string ear_tap(const Look& look, const Somebody& one, std::string_view ear, bool is_seated,
                    std::string_view key) {
    const std::string side(ear);
    const std::string name = side == "left" ? "Left ear" : "Right ear";
    return tap(look, {.id = "seated-" + side,
                      .act = "check",
                      .label = is_seated ? "✓ " + name + " seated" : name + " seated?",
                      .key = std::string(key),
                      .look = is_seated ? "tick done" : "tick",
                      .fields = {{"as", one.as}, {"ear", side}, {"seated", "yes"}}});
}

/// The last ear that was told not to be seated, since it was put in.
bool is_told_not_seated(const Look& look, const Somebody& one) {
    bool not_seated = false;
    for (const registers::Entry& entry : look.state.entries) {
        if (entry.as != one.as) continue;
        if (entry.kind == registers::EntryKind::Wear) not_seated = false;
        const auto check = entry.kind == registers::EntryKind::Check
                               ? sessions::read_check(entry.body)
                               : std::nullopt;
        if (check) not_seated = !check->seated;
    }
    return not_seated;
}

std::string spare_taps(const Look& look, const Plan& plan, const Somebody& one) {
    const auto worn = one.worn->wears;
    std::vector<std::string> each;
    if (one.out && !one.out->spare.empty() && !are_same_set(one.out->spare, worn)) {
        each.push_back(
            tap(look, {.id = "spare",
                       .act = "wear",
                       .label = "Take the spare: " + report::worn_title(plan, one.out->spare),
                       .key = "v",
                       .look = "main",
                       .fields = wear_fields(one, one.out->spare)}));
    }
    auto badly = wear_fields(one, worn);
    badly.emplace_back("poor_fit", "yes");
    each.push_back(tap(look, {.id = "stays-bad",
                              .act = "wear",
                              .label = "It stays badly seated: count it so",
                              .fields = badly}));
    return element("p", "Not seated: put it in again and tick it. Where it does not seat:") +
           taps(each);
}

}  // namespace

std::vector<std::pair<std::string, std::string>> wear_fields(const Somebody& one,
                                                             const std::vector<std::string>& ids) {
    std::vector<std::pair<std::string, std::string>> fields = {{"as", one.as}};
    for (const std::string& id : ids)
        fields.emplace_back("wears", id);
    return fields;
}

std::string ticks(const Look& look, const Plan& plan, const Somebody& one) {
    std::string content = taps({ear_tap(look, one, "left", one.ears.left, "l"),
                                ear_tap(look, one, "right", one.ears.right, "r")},
                               "ticks");
    if (is_told_not_seated(look, one)) return content + spare_taps(look, plan, one);
    return content +
           taps({tap(look, {.id = "not-seated",
                            .act = "check",
                            .label = "Not seated",
                            .key = "n",
                            .fields = {{"as", one.as}, {"ear", "both"}, {"seated", "no"}}})});
}

}  // namespace earbudget::desk::at_session
