#include "earbudget/exposure/criterion.hpp"
#include "earbudget/study/plan.hpp"
#include "files/keys.hpp"
#include "files/limits.hpp"

namespace earbudget::files {

// The people of a plan, what they do and what they wear.

namespace {

using Type = Key::Type;

constexpr NumberRange fraction_range{0.0, 1.0, ""};
constexpr NumberRange worn_uncertainty_range{0.0, 0.5, ""};
constexpr NumberRange spread_range{0.0, 20.0, "dB"};

Words canal_names() { return names_of(canal_sizes); }
Words roles_in_a_study() { return names_of(role_rows); }
Words fits() { return {"as-rated", "poor"}; }
Words kinds_worn() {
    return {wears_only[WearsOnly::Plugs].name, wears_only[WearsOnly::Earmuffs].name};
}
Words doors() { return {"shut", "open"}; }
Words rhythms() { return {"session", "day"}; }

constexpr Key rows_of_task_levels[] = {
    {"LAeq_samples", Type::Numbers,
     "three or more measured LAeq in the place of `LAeq`: their energy average, with the "
     "sampling's uncertainty beside that of instrument and position (`uncertainty_parts`, else "
     "1.5 and 1.0 dB of ISO 9612:2009)",
     "", level_range, nullptr, nullptr, most_values},
};
// Messages name it behind those that all levels have.
constexpr KeyTable task_level_keys{"task_levels", rows_of_task_levels, &level_keys};

constexpr Key rows_of_wearing[] = {
    {"wears",
     Type::Texts,
     "ids: `[]` nothing, one, or a plug and an earmuff",
     "nothing",
     {},
     nullptr,
     nullptr,
     most_values},
    {"worn", Type::Number, "fraction of the time it is really worn", "1", fraction_range},
    {"fit", Type::Word, "how it sits", "`\"as-rated\"`", {}, fits},
    {"worn_uncertainty", Type::Number,
     "standard uncertainty (k = 1) of `worn`; not of tasks that name what is worn during them", "0",
     worn_uncertainty_range},
};

constexpr Key rows_of_task[] = {
    {"title", Type::Text, "for people"},
    {"position", Type::Text, "where; may be left out with `[person.task.levels]`"},
    {"door", Type::Word, "how the door stands", "`\"shut\"`", {}, doors},
    {"during", Type::Text,
     "`\"timeline\"`, or the id of a sequence: its runs in the timeline (a row each, and as the "
     "timeline changes), or for `duration`, which then counts as one run"},
    {"duration", Type::Duration, "without `during`: so long with nothing running"},
    {"duration_range",
     Type::Texts,
     "`[\"1 h\", \"2 h\"]`: the shortest and the longest that it takes, beside a `duration` "
     "between them; half the range is its standard uncertainty (ISO 9612:2009, annex C)",
     "",
     {},
     nullptr,
     nullptr,
     most_values},
    {"levels",
     Type::Table,
     "other noise with levels of its own, for `duration`",
     "",
     {},
     nullptr,
     &task_level_keys},
    {"per", Type::Word, "how often", "`\"session\"`", {}, rhythms},
};
constexpr KeyTable wearing_keys{"wearing", rows_of_wearing};
constexpr KeyTable task_keys{"task", rows_of_task, nullptr, &wearing_keys};

constexpr Key rows_of_person[] = {
    {"id", Type::Id, "the person's name here", needed},
    {"role",
     Type::Word,
     "`\"participant\"` hears the timeline at the ear position; `\"staff\"` and "
     "`\"accompanying\"` (a parent in the room) hear what their tasks say",
     needed,
     {},
     roles_in_a_study},
    {"PAR",
     Type::Number,
     "this person's fit-test result with what `wears` says; used before any label, with a warning "
     "where the policy names another method",
     "",
     {0.0, 80.0, "dB"}},
    {"PAR_uncertainty", Type::Number, "its standard uncertainty (k = 1) over insertions", "",
     spread_range},
    {"fit_uncertainty", Type::Number,
     "without a `PAR_uncertainty`, how far one insertion differs from the next (k = 1)", "0",
     spread_range},
    {"only",
     Type::Word,
     "what the person agrees to wear; others are ranked lower by `choose`",
     "",
     {},
     kinds_worn},
    {"canal", Type::Word, "ear canal; plugs not made for it are ranked lower", "", {}, canal_names},
    {"cannot_wear",
     Type::Texts,
     "ids that do not fit this person; never advised",
     "",
     {},
     nullptr,
     nullptr,
     most_values},
    {"sessions_per_day", Type::Count, "sessions of a day are taken back to back", "1",
     sessions_per_day_range},
    {"days_per_week", Type::Number, "days like this one in a week, for weekly limits and averages",
     "1", days_per_week_range},
    {"visits",
     Type::Count,
     "days of the study in all; the result adds up the sound exposure over them",
     "",
     {1.0, 10'000.0, ""}},
    {"task",
     Type::Tables,
     "a part of the day; needed for all but participants",
     "",
     {},
     nullptr,
     &task_keys,
     most_tasks},
};

}  // namespace

constexpr KeyTable person_keys{"person", rows_of_person, nullptr, &wearing_keys, &policy_keys};

}  // namespace earbudget::files
