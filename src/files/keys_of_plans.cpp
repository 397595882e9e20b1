#include "earbudget/exposure/criterion.hpp"
#include "earbudget/protection/method.hpp"
#include "earbudget/protection/ratings.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/keys.hpp"

namespace earbudget::files {

// Plans and sites: where and what is going to be done, and how it is judged.

namespace {

constexpr NumberRange criterion_level_range{40.0, 140.0, "dB"};
constexpr NumberRange peak_limit_range{90.0, 190.0, "dB"};

Words method_names() {
    Words words = names_of(method_rows);
    words.push_back(name_of_best_method);
    return words;
}

Words none_at_all() { return {"none"}; }

constexpr Key rows_of_derating[] = {
    row::number("dB", NumberRange{0.0, 60.0, "dB"}, "the facility's own deduction", needed),
};

constexpr Key rows_of_policy[] = {
    row::word("method", method_names,
              "from the level outside to the level at the ear, see [methods.md](methods.md)",
              "`\"best\"`"),
    row::word("derating", words_of<named_deratings>,
              "see there; the facility's own deduction is `{ dB = 6.0 }`", "`\"none\"`",
              &derating_keys),
    row::number("protection_performance",
                NumberRange{ProtectionPerformance::lowest_percent,
                            ProtectionPerformance::highest_percent, "percent"},
                "of so many people in a hundred the protector attenuates as much or more", "84"),
    row::texts("criteria", "ids of [criteria.md](criteria.md) and of the plan's own",
               "each role's default set"),
    row::flag("weekly_average", "puts LEX,w in the place of LEX,8h, see below", "false"),
    row::flag("speech_must_be_heard", "true where spoken instructions must stay audible", "false"),
    row::number("least_useful_dB", NumberRange{40.0, 85.0, "dB"},
                "level at the ear while sequences run below which protection is more than useful",
                "70"),
    row::number("accepted_probability",
                NumberRange{lowest_accepted_percent, highest_accepted_percent, "percent"},
                "the probability of being over that \"within\" may have", "5"),
    // Of a sine the peak lies 3 dB above the average.
    row::number("peak_at_most_above_LAeq", NumberRange{3.0, 60.0, "dB"},
                "by how much a peak that no card states is at most above LAeq (own choice), see "
                "[methods.md](methods.md#peaks-under-a-protector)",
                "25", none_at_all),
};

constexpr Key rows_of_contact[] = {
    row::text("name", "whom to call"),
    row::text("role", "what this person is there"),
    row::text("phone", "as it is dialled"),
};
constexpr KeyTable contact_keys{"contact", rows_of_contact};

constexpr Key rows_of_timeline[] = {
    row::text("sequence", "id of a sequence card, with its `duration`"),
    row::duration("duration", "how long the sequence runs"),
    row::count("repeat", NumberRange{1.0, 100'000.0, ""}, "so many times", "1"),
    row::duration("rest", "in the place of a sequence: so long nothing runs"),
    row::word("duration_from", words_of<duration_sources>,
              "beside a sequence: where the duration comes from that `new --bids` found among scans "
              "that exist, see [scans.md](scans.md)",
              "as planned"),
    row::flag("reinsert", "beside a rest: protectors are taken out and put in again", "false"),
};
constexpr KeyTable timeline_keys{"timeline", rows_of_timeline};

constexpr Key rows_of_criterion[] = {
    row::id("id", "its name, none of [criteria.md](criteria.md)", needed),
    row::text("title", "for people", "the id"),
    row::number("level_dB", criterion_level_range, "the level permitted for `hours`", needed),
    row::number("exchange_dB", NumberRange{1.0, 10.0, "dB"},
                "3: half the time each 3 dB; 3.0103 counts energy", "3"),
    row::number("hours", NumberRange{0.01, 168.0, "h"}, "so long; of a week with `weekly`", "8"),
    row::flag("weekly", "the dose is of a week, the day's times `days_per_week`; needs `hours`",
              "false"),
    row::number("threshold_dB", criterion_level_range, "lower levels do not count", "all count"),
    row::number("ceiling_dB", criterion_level_range,
                "higher levels are not permitted for any time"),
    row::number("peak_dBC", peak_limit_range, "highest peak permitted, C-weighted"),
    row::number("peak_dB", peak_limit_range, "the same, unweighted, in the place of `peak_dBC`"),
    row::flag("with_protection", "judged at the ear under what is worn", "true"),
    row::texts("for", "whom it is for", "`[\"participant\", \"staff\"]`", words_of<role_rows>),
    row::text("source", "where it comes from"),
};

constexpr NumberRange difference_range{-120.0, 60.0, "dB"};
constexpr NumberRange of_differences{0.0, highest_uncertainty.dB(), "dB"};
constexpr auto difference_bands = row::bands(difference_range);
constexpr KeyTable difference_octave_keys{"octave_differences", difference_bands};

constexpr Key rows_of_transmission[] = {
    row::number("difference_dB", difference_range,
                "level there minus that at the participant's ear position, for sequences and "
                "background alike"),
    row::table("octave", &difference_octave_keys, "the same by octave band"),
    row::number("uncertainty", of_differences, "standard uncertainty (k = 1) of the differences"),
    row::table("background", &level_keys, "the background there"),
    row::text("sequences",
              "folder of cards measured there, relative to the file; a card whose id is no "
              "sequence of the plan is passed over"),
};

constexpr Key rows_of_position[] = {
    row::id("id", "name in tasks", needed),
    row::table("door_open", &transmission_keys,
               "the same keys for tasks with `door = \"open\"`; without a background of its own it "
               "has that of the shut door"),
    row::flag("near_magnet",
              "whether metal must not be brought: protectors that are not free of it are not "
              "advised there",
              "false"),
};

// Of a site and of a plan.
constexpr Key row_of_positions =
    row::tables("position", &position_keys, most_positions, "a place in the facility");

constexpr Key rows_of_matched_run[] = {
    row::text("sequence", "id of the sequence card", needed),
    row::duration("duration", "of each such run whose own files do not tell it"),
};
constexpr KeyTable matched_run_keys{"matched_run", rows_of_matched_run};

constexpr Key row_of_match = row::text_or_table(
    "pattern of names", &matched_run_keys,
    "`\"*task-rest*bold*\" = \"epi-2mm\"`: scans whose file has such a name, `*` for any characters "
    "and `?` for one, are runs of the card with this id; the first that fits counts");

constexpr Key rows_of_site[] = {
    row::text("title", "for people"),
    row::text("time_zone",
              "where the site stands, a name of the IANA database such as `Europe/Berlin`: sessions "
              "go only into a register whose days and weeks are counted by it, see "
              "[sessions.md](sessions.md)",
              "that of the register"),
    row::table("match", &match_keys,
               "which scans are runs of which card, for `new --bids`, see [scans.md](scans.md)"),
    row::table("background", &level_keys,
               "the room with no sequence running; a plan's own comes first"),
    row_of_positions,
};

constexpr Key rows_of_plan[] = {
    row::text("title", "for people", "the file's name"),
    row::text("sequences", "folder of cards, relative to the plan; its subfolders are not read"),
    row::text("protectors", "catalogue, relative to the plan"),
    row::table("policy", &policy_keys,
               "what the facility has decided; a `[[person]]` may override any of it"),
    row::table("background", &level_keys, "the room with no sequence running"),
    row::table("intercom", &level_keys,
               "speech over the intercom at the participant's ear position, ears open"),
    row_of_positions,
    row::tables("timeline", &timeline_keys, most_timeline_rows, "what runs, in order", needed),
    row::tables("criterion", &criterion_keys, most_own_criteria, "a criterion of the plan's own"),
    row::tables("person", &person_keys, most_people, "one of the people", needed),
    row::text(
        "site",
        "a site file with positions and background that several plans share, relative to the plan"),
    row::table("contact", &contact_keys,
               "whom to call, for the sheet at the scanner; any of its keys"),
};

/// Of both own choice: more is not one study.
constexpr NumberRange visits_range{1.0, 1'000.0, ""};
constexpr NumberRange days_apart_range{1.0, 3'660.0, "days"};

constexpr Key rows_of_visit[] = {
    row::text("plan", "the plan of its day, relative to the study", needed),
    row::text("title", "for people", "the plan's"),
    row::count("times", visits_range, "on how many days there is such a visit, one after another",
               "1"),
    row::count("days_apart", days_apart_range,
               "how many days later than the visit before, and than the one before of its `times`, "
               "at least: 1 is the next day",
               "1"),
};

constexpr KeyTable visit_keys{"visit", rows_of_visit};

constexpr Key rows_of_study[] = {
    row::text("title", "for people", "the file's name"),
    row::tables("visit", &visit_keys, most_visits, "a visit, in their order", needed),
};

}  // namespace

constexpr KeyTable study_file{"study", rows_of_study, &file_keys};
constexpr KeyTable derating_keys{"derating", rows_of_derating};
constexpr KeyTable policy_keys{"policy", rows_of_policy};
constexpr KeyTable criterion_keys{"criterion", rows_of_criterion};
constexpr KeyTable transmission_keys{"transmission", rows_of_transmission};
constexpr KeyTable position_keys{"position", rows_of_position, &transmission_keys};
constexpr KeyTable match_keys{"match", {}, nullptr, nullptr, nullptr, &row_of_match};
constexpr KeyTable site_file{"site", rows_of_site, &file_keys};
constexpr KeyTable plan_file{"plan", rows_of_plan, &file_keys};

}  // namespace earbudget::files
