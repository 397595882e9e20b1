#include "desk/session_runs.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_forms.hpp"
#include "desk/session_running.hpp"
#include "desk/session_seating.hpp"
#include "desk/session_words.hpp"
#include "earbudget/acoustics/number_text.hpp"
#include "files/written_values.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"

namespace earbudget::desk::at_session {

namespace {

using report::html::element;
using report::html::text;

/// How often each sequence was told to have run, but for what goes on.
std::map<std::string, unsigned> runs_told(const Look& look) {
    std::map<std::string, unsigned> told;
    for (const sessions::Heard& part : look.participant().heard.parts)
        if (part.kind == sessions::HeardKind::Run && part.session == look.number())
            ++told[part.name];
    if (const sessions::OpenRun* open = look.running()) --told[open->body.sequence];
    return told;
}

const sessions::RunsLeft* left_of(const records::NextReport* next, const std::string& sequence) {
    if (!next) return nullptr;
    const auto& all = next->next.sequences;
    const auto found = std::ranges::find(all, sequence, &sessions::RunsLeft::id);
    return found == all.end() ? nullptr : &*found;
}

/// A row of the timeline that is a run.
struct PlannedRun {
    const Sequence* sequence;
    Seconds duration{0.0};
    unsigned repeat = 1, done = 0;
};

/// Rows with what was told of each: the first of a sequence are done first.
std::vector<PlannedRun> planned_runs(const Look& look) {
    auto told = runs_told(look);
    std::vector<PlannedRun> rows;
    for (const TimelineRow& row : look.plan()->timeline) {
        if (!row.sequence) continue;
        const Sequence& sequence = look.plan()->sequences[*row.sequence];
        unsigned& left = told[sequence.id];
        const unsigned done = std::min(left, row.repeat);
        left -= done;
        rows.push_back({&sequence, row.duration, row.repeat, done});
    }
    // What ran more often than planned stands with the last row of it.
    for (auto row = rows.rbegin(); row != rows.rend(); ++row) {
        row->done += told[row->sequence->id];
        told[row->sequence->id] = 0;
    }
    return rows;
}

/// What must be known before Start is pressed: what counts as worn, whose ears are not checked.
std::string what_counts(const Look& look) {
    const std::string counted = counted_words(look);
    std::string content = counted.empty() ? "" : element("p", "wrong", text(counted));
    if (const auto* out = look.participant().out;
        out && (out->kind == HandOut::Kind::Nothing || out->kind == HandOut::Kind::Undecided)) {
        content +=
            element("p", "wrong",
                    "By the plan as a whole: do not start, call. Each answer below is of one "
                    "sequence alone, with what counts as worn now.");
    }
    for (const Somebody& one : look.people) {
        if (!one.next) continue;
        const std::string who = &one == &look.participant() ? "" : one.as + ": ";
        for (const records::SessionNote& note : one.next->notes) {
            using Code = records::SessionNoteCode;
            if (note.code != Code::EarsUnchecked && note.code != Code::MetalNearMagnet) continue;
            // What the command line is told with is a tick here.
            const std::size_t command = note.text.find(" Check, and tell it:");
            const std::string words = note.text.substr(0, command);
            content +=
                element("p", "wrong",
                        text(who + words +
                             (command == std::string::npos
                                  ? ""
                                  : " Look at both, and tick them where it is handed out.")));
        }
    }
    return content;
}

std::string run_taps(const Look& look, const PlannedRun& run, std::size_t n, bool is_next) {
    if (look.running() || look.stopped()) return "";
    const std::string& id = run.sequence->id;
    std::vector<std::string> each;
    each.push_back(tap(look, {.id = fmt::format("start-{}", n),
                              .act = "start",
                              .label = "Start",
                              .key = is_next ? "s" : "",
                              .look = is_next ? "main" : "",
                              .fields = {{"sequence", id}}}));
    each.push_back(
        tap(look, {.id = fmt::format("done-{}", n),
                   .act = "done",
                   .label = "Done as planned",
                   .key = is_next ? "d" : "",
                   .fields = {{"sequence", id}, {"for", files::written_duration(run.duration)}}}));
    if (!is_next) return taps(each);
    each.push_back(tap(look, {.id = "done-after",
                              .act = "done",
                              .label = "It ran so long and is over",
                              .fields = {{"sequence", id}},
                              .inside = minutes_field("done-minutes")}));
    return what_counts(look) + taps(each);
}

std::string row_of(const Look& look, const PlannedRun& run, std::size_t n, bool is_next,
                   const std::vector<const records::NextReport*>& answers) {
    const bool goes_on = is_next && look.running();
    const std::string which = report::strong(title_of(look, run.sequence->id));
    std::string head = which + ", " + text_of(run.duration);
    head += run.repeat > 1 || run.done > 1 ? fmt::format("; {} of {} done", run.done, run.repeat)
            : run.done == 1                ? "; done"
                                           : "";
    if (goes_on) head += "; runs now";
    return element("li",
                   goes_on                  ? "run now-on"
                   : is_next                ? "run next"
                   : run.done >= run.repeat ? "run done"
                                            : "run",
                   "\n" + element("p", "head", text(head)) +
                       answer_for(look, run.sequence->id, answers) +
                       run_taps(look, run, n, is_next));
}

}  // namespace

std::string answer_for(const Look& look, const std::string& sequence,
                       const std::vector<const records::NextReport*>& answers) {
    const sessions::RunsLeft* own = left_of(answers.front(), sequence);
    if (!own) return "";
    const AnswerInWords words = may_it_run(*own);
    const std::string time = time_left(*own);
    std::string content = element(
        "p", fmt::format("may {}", name_of(words.verdict)),
        report::html::mark_of(words.verdict) + " " +
            text(report::strong(words.words) + (time.empty() ? "" : ": " + time + " left")));
    for (std::size_t n = 1; n < answers.size(); ++n) {
        const sessions::RunsLeft* other = left_of(answers[n], sequence);
        if (!other || other->runs >= own->runs || may_it_run(*other).verdict <= words.verdict)
            continue;
        const AnswerInWords theirs = may_it_run(*other);
        content += element("p", fmt::format("may {}", name_of(theirs.verdict)),
                           report::html::mark_of(theirs.verdict) + " " +
                               text(fmt::format("{} ({}), who is there: {}", look.people[n].as,
                                                look.people[n].id, theirs.words)));
    }
    return content;
}

std::string runs(const Look& look) {
    if (look.is_over()) return "";
    if (!look.plan() || !look.participant().next) {
        return element("p", "wrong",
                       "What may be run cannot be answered now. What runs is recorded by the "
                       "command line once the plan can be read:") +
               report::html::list_of(look.why_no_plan);
    }
    std::vector<const records::NextReport*> answers;
    for (const Somebody& one : look.people)
        answers.push_back(one.next ? &*one.next : nullptr);
    const auto rows = planned_runs(look);
    // What goes on, else what comes next by the plan.
    const sessions::OpenRun* open = look.running();
    auto next = std::ranges::find_if(rows, [&](const PlannedRun& run) {
        return run.done < run.repeat && (!open || run.sequence->id == open->body.sequence);
    });
    if (open && next == rows.end())
        next = std::ranges::find_if(
            rows, [&](const PlannedRun& run) { return run.sequence->id == open->body.sequence; });
    std::string items;
    for (auto row = rows.begin(); row != rows.end(); ++row)
        items +=
            row_of(look, *row, static_cast<std::size_t>(row - rows.begin()), row == next, answers);
    std::string content;
    if (look.running())
        content += element("p", "soft",
                           "May it be run again, once the run that goes on has ended as planned?");
    content += element("ol", "runs", "\n" + items);
    const std::string other = fmt::format("/session/{}/other", look.number());
    if (!look.running() && !look.stopped())
        content += element("p", "acts", link(other, "Not on the plan…", "act"));
    return content;
}

}  // namespace earbudget::desk::at_session
