#include "earbudget/exposure/criterion.hpp"
#include "earbudget/study/plan.hpp"
#include "files/keys.hpp"

namespace earbudget::files {

// The people of a plan, what they do and what they wear.

namespace {

constexpr NumberRange fraction_range{0.0, 1.0, ""};
constexpr NumberRange worn_uncertainty_range{0.0, 0.5, ""};
constexpr NumberRange spread_range{0.0, 20.0, "dB"};

Words fits() { return {"as-rated", "poor"}; }
Words kinds_worn() {
    return {wears_only[WearsOnly::Plugs].name, wears_only[WearsOnly::Earmuffs].name};
}
Words doors() { return {"shut", "open"}; }
Words rhythms() { return {"session", "day"}; }

constexpr Key rows_of_task_levels[] = {
    row::numbers(
        "LAeq_samples", level_range,
        "three or more measured LAeq in the place of `LAeq`: their energy average, with the "
        "sampling's uncertainty beside that of instrument and position (`uncertainty_parts`, else "
        "1.5 and 1.0 dB of ISO 9612:2009)"),
};
// Messages name it behind those that all levels have.
constexpr KeyTable task_level_keys{"task_levels", rows_of_task_levels, &level_keys};

constexpr Key rows_of_wearing[] = {
    row::texts("wears", "ids: `[]` nothing, one, or a plug and an earmuff", "nothing"),
    row::number("worn", fraction_range, "fraction of the time it is really worn", "1"),
    row::word("fit", fits, "how it sits", "`\"as-rated\"`"),
    row::number(
        "worn_uncertainty", worn_uncertainty_range,
        "standard uncertainty (k = 1) of `worn`; not of tasks that name what is worn during them",
        "0"),
};

constexpr Key rows_of_task[] = {
    row::text("title", "for people"),
    row::text("position", "where; may be left out with `[person.task.levels]`"),
    row::word("door", doors, "how the door stands", "`\"shut\"`"),
    row::text(
        "during",
        "`\"timeline\"`, or the id of a sequence: its runs in the timeline (a row each, and as the "
        "timeline changes), or for `duration`, which then counts as one run"),
    row::duration("duration", "without `during`: so long with nothing running"),
    row::texts(
        "duration_range",
        "`[\"1 h\", \"2 h\"]`: the shortest and the longest that it takes, beside a `duration` "
        "between them; half the range is its standard uncertainty (ISO 9612:2009, annex C)"),
    row::table("levels", &task_level_keys, "other noise with levels of its own, for `duration`"),
    row::word("per", rhythms, "how often", "`\"session\"`"),
};
constexpr KeyTable wearing_keys{"wearing", rows_of_wearing};
constexpr KeyTable task_keys{"task", rows_of_task, nullptr, &wearing_keys};

constexpr Key rows_of_person[] = {
    row::id("id", "the person's name here", needed),
    row::word("role", words_of<role_rows>,
              "`\"participant\"` hears the timeline at the ear position; `\"staff\"` and "
              "`\"accompanying\"` (a parent in the room) hear what their tasks say",
              needed),
    row::number("PAR", NumberRange{0.0, 80.0, "dB"},
                "this person's fit-test result with what `wears` says; used before any label, with "
                "a warning "
                "where the policy names another method"),
    row::number("PAR_uncertainty", spread_range,
                "its standard uncertainty (k = 1) over insertions"),
    row::number("fit_uncertainty", spread_range,
                "without a `PAR_uncertainty`, how far one insertion differs from the next (k = 1)",
                "0"),
    row::word("only", kinds_worn,
              "what the person agrees to wear; others are ranked lower by `choose`"),
    row::word("canal", words_of<canal_sizes>, "ear canal; plugs not made for it are ranked lower"),
    row::texts("cannot_wear", "ids that do not fit this person; never advised"),
    row::count("sessions_per_day", sessions_per_day_range,
               "sessions of a day are taken back to back", "1"),
    row::number("days_per_week", days_per_week_range,
                "days like this one in a week, for weekly limits and averages", "1"),
    row::count("visits", NumberRange{1.0, 10'000.0, ""},
               "days of the study in all; the result adds up the sound exposure over them"),
    row::text("title", "for people"),
    row::text("note", "for people, said with the person"),
    row::word("age_group", words_of<age_groups>,
              "decides the criteria by default and the cautions, see "
              "[criteria.md](criteria.md); for a neonate no published limit is known",
              "`\"adult\"`"),
    row::flag("pregnant_staff", "the unit's physician is asked; changes no figure", "false"),
    row::flag("tinnitus_or_hyperacusis", "the unit's physician is asked; changes no figure",
              "false"),
    row::flag("hearing_device", "the unit's physician is asked; changes no figure", "false"),
    row::word(
        "unfitted_ear", words_of<ears>,
        "an ear that nothing can be put into: the person is judged by it, and only an earmuff "
        "counts there"),
    row::texts("instead",
               "ids of what is handed out where `wears` does not seat; assessed beside it"),
    row::tables("protector", &protector_keys, most_protectors,
                "a protector of this person's own, which nobody else may wear; its id is none of "
                "the catalogue's"),
    row::tables("task", &task_keys, most_tasks,
                "a part of the day; needed for all but participants"),
};

}  // namespace

constexpr KeyTable person_keys{"person", rows_of_person, nullptr, &wearing_keys, &policy_keys};

}  // namespace earbudget::files
