#include <algorithm>

#include <fmt/format.h>

#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

std::string worn_name(const Plan& plan, WornIds worn, bool by_id) {
    return by_id ? short_names_of(plan.catalogue, worn) : worn_title(plan, worn);
}

std::string in_tasks(const Plan& plan, const Person& person, bool by_id) {
    std::vector<std::string> titles;
    const auto metal = metal_near_magnet(plan, person);
    for (const Task& task : person.tasks) {
        if (!task.wears || task.wears->empty()) continue;
        const std::string name = worn_name(plan, *task.wears, by_id);
        const bool forbidden =
            std::ranges::find_first_of(*task.wears, metal) != task.wears->end();
        add_once(forbidden ? fmt::format("not {}, which is not free of metal: take another", name)
                           : name,
                 titles);
    }
    return joined(titles, ", ");
}

}  // namespace

std::string handed_out(const Plan& plan, const SheetPerson& one, bool by_id) {
    using Kind = HandOut::Kind;
    // Nothing in bold beside somebody who must not start, as if all were well with it.
    if (one.out->kind == Kind::Undecided) return strong("do not start, call");
    if (one.out->kind == Kind::Nothing)
        return strong("do not start, call") +
               std::string(one.out->plan_is_refused
                               ? "; what the plan has does not suit this person, and nothing else "
                                 "that can be worn is known to keep the limits"
                               : "; nothing that can be worn is known to keep the limits");
    if (may_not_start(one)) {
        return strong("do not start, call") +
               (one.person().wears.empty()
                    ? ""
                    : "; in the plan " + worn_name(plan, one.person().wears, by_id));
    }
    const std::string tasks = in_tasks(plan, one.person(), by_id);
    const bool as_planned_but_better =
        one.out->kind == Kind::Instead && are_same_set(one.out->wears, one.person().wears);
    std::string words = one.out->wears.empty() ? tasks.empty() ? std::string("nothing")
                                                               : std::string("nothing but in tasks")
                                               : strong(worn_name(plan, one.out->wears, by_id));
    if (as_planned_but_better) words += std::string(", well seated and all the time");
    return tasks.empty() ? words : words + "; in tasks: " + tasks;
}

std::string spare(const Plan& plan, const SheetPerson& one, bool by_id) {
    using Kind = HandOut::Kind;
    const bool none_worn = one.out->wears.empty() || may_not_start(one) ||
                           one.out->kind == Kind::Nothing || one.out->kind == Kind::Undecided;
    if (none_worn) return "–";
    if (one.out->spare.empty()) return "nothing else can be handed out: call";
    const Verdict verdict = one.out->spare_verdict.value_or(Verdict::Within);
    return worn_name(plan, one.out->spare, by_id) +
           (verdict == Verdict::Over      ? "; over a limit with it: do not start, call"
            : verdict == Verdict::Unknown ? "; cannot be decided with it: call"
            : verdict == Verdict::Close   ? "; close with it"
                                          : "");
}

std::string poorly_seated_words(const PersonResult& person) {
    Verdict worst = Verdict::Within;
    for (const CriterionResult& criterion : person.criteria) {
        if (!criterion.decides || !criterion.with_poor_fit) continue;
        if (*criterion.with_poor_fit > criterion.verdict)
            worst = std::max(worst, *criterion.with_poor_fit);
    }
    if (worst == Verdict::Over) return "over a limit if poorly seated";
    return worst == Verdict::Unknown ? "cannot be decided if poorly seated" : "";
}

namespace {

std::string fit_words(const PersonResult& person) {
    const std::string words = poorly_seated_words(person);
    return words.empty() ? words : "; " + words;
}

/// What of it nobody measured, since an example stands for it.
std::string by_examples(const PersonResult& person) {
    const std::string words = examples_words(person.examples);
    return words.empty() ? "" : "; " + words;
}

/// What a day has of the limit that decides it.
std::string limit_words(const PersonResult& person) {
    const CriterionResult* limit = tightest_limit(person);
    if (!limit) return "no limit";
    const std::string id = on_sheet(limit->criterion->id);
    if (limit->is_peak)
        return fmt::format("peak {}, limit {} of {}", value_text(*limit), limit_text(*limit), id);
    // No share of a dose tells of a ceiling.
    for (const Message& remark : limit->remarks)
        if (remark.is(RemarkPhrase::AboveCeiling)) return id + ": " + text_of(remark);
    const AllowanceCourse* course = person.course.of(*limit->criterion);
    if (!course || course->after_row.empty()) return "no limit";
    const bool by_ceiling =
        limit->criterion->rule.ceiling && limit->verdict == Verdict::Close && !limit->margin_range;
    return fmt::format("{} of {}{}", percent_text(course->after_row.back()), id,
                       by_ceiling ? ", " + margin_text(*limit) : "");
}

/// What a day comes to, or that it must not be run so.
std::string day_words(const PersonResult& person) {
    const std::string day = limit_words(person);
    switch (person.verdict) {
        case Verdict::Within:
            return "within: " + day + fit_words(person) + by_examples(person);
        case Verdict::Close:
            return (person.is_limited_by_origin() ? "close, by levels that nobody measured: "
                                                  : "close to a limit: ") +
                   day + fit_words(person) + by_examples(person);
        case Verdict::Unknown:
            return "cannot be decided: do not start, call";
        case Verdict::Over:
            return "over a limit: do not run as planned; " + day;
    }
    return day;
}

std::string day_with_it(const Plan& plan, const SheetPerson& one) {
    if (!one.out->day) return day_words(*one.planned);
    const Person& person = one.person();
    const std::string planned = person.wears.empty() ? "nothing" : worn_title(plan, person.wears);
    return fmt::format("{}. In the plan {}, {}", day_words(*one.out->day), planned,
                       day_words(*one.planned));
}

/// Where a limit is not kept with what is handed out: everything that can be done.
std::vector<std::string> advice_of(const SheetPerson& one) {
    const PersonResult& day = one.day();
    std::vector<std::string> all;
    if (day.verdict == Verdict::Within) return all;
    for (const Advice& advice : day.advice) {
        if (advice.code == AdviceCode::MetalOutside) continue;  // has been told above
        all.push_back(text_of(advice.says, " "));
        if (day.verdict == Verdict::Close) break;
    }
    return all;
}

/// What is handed out, the spare and the day; people alike in one row.
std::vector<AlikeOnSheet> rows_of(const Plan& plan, const std::vector<SheetPerson>& people) {
    std::vector<AlikeOnSheet> rows;
    for (const SheetPerson& one : people) {
        add_alike(one.person().id,
                  {handed_out(plan, one), spare(plan, one), day_with_it(plan, one)},
                  one.day().verdict, rows);
    }
    return rows;
}

}  // namespace

bool may_not_start(const SheetPerson& one) {
    using Kind = HandOut::Kind;
    const Verdict verdict = one.day().verdict;
    return one.out->kind == Kind::Undecided || one.out->kind == Kind::Nothing ||
           verdict == Verdict::Unknown || verdict == Verdict::Over;
}

std::vector<SheetPerson> worst_first(const Assessment& assessment, const HandOuts& outs) {
    const Plan& plan = *assessment.plan;
    std::vector<SheetPerson> people;
    for (std::size_t n = 0; n < assessment.people.size(); ++n)
        people.push_back({&assessment.people[n], &outs.each[n]});
    std::ranges::stable_sort(people, std::ranges::greater(),
                             [](const SheetPerson& one) { return one.planned->verdict; });
    for (const AlikeOnSheet& row : rows_of(plan, people)) {
        for (SheetPerson& one : people) {
            if (std::ranges::find(row.ids, one.person().id) != row.ids.end()) one.alike = row.ids;
        }
    }
    return people;
}

bool is_exposed_to_timeline(const PersonResult& person) {
    return person.person->role != Role::Staff &&
           std::ranges::any_of(person.segments, [](const SegmentResult& segment) {
               return segment.row.timeline_row.has_value();
           });
}

void add_alike(const std::string& id, std::vector<std::string> cells, Verdict verdict,
               std::vector<AlikeOnSheet>& rows) {
    const auto same = std::ranges::find(rows, cells, &AlikeOnSheet::cells);
    if (same == rows.end()) {
        rows.push_back({{id}, std::move(cells), verdict});
    } else {
        same->ids.push_back(id);
    }
}

std::string ids_of(const AlikeOnSheet& alike) { return joined(alike.ids, ", ", on_sheet); }

Section people_part(const Plan& plan, const std::vector<SheetPerson>& people) {
    std::vector<AlikeOnSheet> advised;
    for (const SheetPerson& one : people) {
        auto advice = advice_of(one);
        if (!advice.empty())
            add_alike(one.person().id, std::move(advice), one.day().verdict, advised);
    }
    Table table{"What to hand out to whom",
                {{.key = "person", .title = "person"},
                 {.key = "wears", .title = "hand out, both ears", .number = false},
                 {.key = "spare", .title = "spare, if it does not seat", .number = false},
                 {.key = "day", .title = "the day with it", .number = false}}};
    for (const AlikeOnSheet& row : rows_of(plan, people)) {
        Row cells{{ids_of(row)}};
        cells.cells.insert(cells.cells.end(), row.cells.begin(), row.cells.end());
        cells.verdict = row.verdict;
        table.rows.push_back(std::move(cells));
    }
    Section section{"people", "What to hand out", {{std::move(table)}}};
    for (const AlikeOnSheet& row : advised) {
        section.blocks.push_back({Paragraph{strong(short_names(row.ids, people))}});
        section.blocks.push_back({sentences(row.cells)});
    }
    return section;
}

}  // namespace earbudget::report
