#include "earbudget/exposure/criterion.hpp"
#include "earbudget/protection/method.hpp"
#include "earbudget/protection/ratings.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/keys.hpp"
#include "files/limits.hpp"

namespace earbudget::files {

// Plans and sites: where and what is going to be done, and how it is judged.

namespace {

using Type = Key::Type;

constexpr NumberRange criterion_level_range{40.0, 140.0, "dB"};
constexpr NumberRange peak_limit_range{90.0, 190.0, "dB"};

Words method_names() {
    Words words = names_of(method_rows);
    words.push_back(name_of_best_method);
    return words;
}

Words derating_names() { return names_of(named_deratings); }
Words role_names() { return names_of(role_rows); }
Words none_at_all() { return {"none"}; }

constexpr Key rows_of_derating[] = {
    {"dB", Type::Number, "the facility's own deduction", needed, {0.0, 60.0, "dB"}},
};

constexpr Key rows_of_policy[] = {
    {"method",
     Type::Word,
     "from the level outside to the level at the ear, see [methods.md](methods.md)",
     "`\"best\"`",
     {},
     method_names},
    {"derating",
     Type::Word,
     "see there; the facility's own deduction is `{ dB = 6.0 }`",
     "`\"none\"`",
     {},
     derating_names,
     &derating_keys},
    {"protection_performance",
     Type::Number,
     "of so many people in a hundred the protector attenuates as much or more",
     "84",
     {ProtectionPerformance::lowest_percent, ProtectionPerformance::highest_percent, "percent"}},
    {"criteria",
     Type::Texts,
     "ids of [criteria.md](criteria.md) and of the plan's own",
     "each role's default set",
     {},
     nullptr,
     nullptr,
     most_values},
    {"weekly_average", Type::Flag, "puts LEX,w in the place of LEX,8h, see below", "false"},
    {"speech_must_be_heard", Type::Flag, "true where spoken instructions must stay audible",
     "false"},
    {"least_useful_dB",
     Type::Number,
     "level at the ear while sequences run below which protection is more than useful",
     "70",
     {40.0, 85.0, "dB"}},
    {"accepted_probability",
     Type::Number,
     "the probability of being over that \"within\" may have",
     "5",
     {lowest_accepted_percent, highest_accepted_percent, "percent"}},
    // Of a sine the peak lies 3 dB above the average.
    {"peak_at_most_above_LAeq",
     Type::Number,
     "by how much a peak that no card states is at most above LAeq (own choice), see "
     "[methods.md](methods.md#peaks-under-a-protector)",
     "25",
     {3.0, 60.0, "dB"},
     none_at_all},
};

constexpr Key rows_of_contact[] = {
    {"name", Type::Text, "whom to call"},
    {"role", Type::Text, "what this person is there"},
    {"phone", Type::Text, "as it is dialled"},
};
constexpr KeyTable contact_keys{"contact", rows_of_contact};

constexpr Key rows_of_timeline[] = {
    {"sequence", Type::Text, "id of a sequence card, with its `duration`"},
    {"duration", Type::Duration, "how long the sequence runs"},
    {"repeat", Type::Count, "so many times", "1", {1.0, 100'000.0, ""}},
    {"rest", Type::Duration, "in the place of a sequence: so long nothing runs"},
    {"reinsert", Type::Flag, "beside a rest: protectors are taken out and put in again", "false"},
};
constexpr KeyTable timeline_keys{"timeline", rows_of_timeline};

constexpr Key rows_of_criterion[] = {
    {"id", Type::Id, "its name, none of [criteria.md](criteria.md)", needed},
    {"title", Type::Text, "for people", "the id"},
    {"level_dB", Type::Number, "the level permitted for `hours`", needed, criterion_level_range},
    {"exchange_dB",
     Type::Number,
     "3: half the time each 3 dB; 3.0103 counts energy",
     "3",
     {1.0, 10.0, "dB"}},
    {"hours", Type::Number, "so long; of a week with `weekly`", "8", {0.01, 168.0, "h"}},
    {"weekly", Type::Flag, "the dose is of a week, the day's times `days_per_week`; needs `hours`",
     "false"},
    {"threshold_dB", Type::Number, "lower levels do not count", "all count", criterion_level_range},
    {"ceiling_dB", Type::Number, "higher levels are not permitted for any time", "",
     criterion_level_range},
    {"peak_dBC", Type::Number, "highest peak permitted, C-weighted", "", peak_limit_range},
    {"peak_dB", Type::Number, "the same, unweighted, in the place of `peak_dBC`", "",
     peak_limit_range},
    {"with_protection", Type::Flag, "judged at the ear under what is worn", "true"},
    {"for",
     Type::Texts,
     "whom it is for",
     "`[\"participant\", \"staff\"]`",
     {},
     role_names,
     nullptr,
     most_values},
    {"source", Type::Text, "where it comes from"},
};

constexpr NumberRange difference_range{-120.0, 60.0, "dB"};
constexpr NumberRange of_differences{0.0, highest_uncertainty.dB(), "dB"};
constexpr auto difference_bands = band_rows(difference_range);
constexpr KeyTable difference_octave_keys{"octave_differences", difference_bands};

constexpr Key rows_of_transmission[] = {
    {"difference_dB", Type::Number,
     "level there minus that at the participant's ear position, for sequences and background "
     "alike",
     "", difference_range},
    {"octave", Type::Table, "the same by octave band", "", {}, nullptr, &difference_octave_keys},
    {"uncertainty", Type::Number, "standard uncertainty (k = 1) of the differences", "",
     of_differences},
    {"background", Type::Table, "the background there", "", {}, nullptr, &level_keys},
    {"sequences", Type::Text,
     "folder of cards measured there, relative to the file; a card whose id is no sequence of the "
     "plan is passed over"},
};

constexpr Key rows_of_position[] = {
    {"id", Type::Id, "name in tasks", needed},
    {"door_open",
     Type::Table,
     "the same keys for tasks with `door = \"open\"`; without a background of its own it has that "
     "of the shut door",
     "",
     {},
     nullptr,
     &transmission_keys},
    {"near_magnet", Type::Flag,
     "whether metal must not be brought: protectors that are not free of it are not advised there",
     "false"},
};

// Of a site and of a plan.
constexpr Key row_of_positions = {
    "position",     Type::Tables,  "a place in the facility", "", {}, nullptr,
    &position_keys, most_positions};

constexpr Key rows_of_site[] = {
    {"title", Type::Text, "for people"},
    {"background",
     Type::Table,
     "the room with no sequence running; a plan's own comes first",
     "",
     {},
     nullptr,
     &level_keys},
    row_of_positions,
};

constexpr Key rows_of_plan[] = {
    {"title", Type::Text, "for people", "the file's name"},
    {"sequences", Type::Text, "folder of cards, relative to the plan; its subfolders are not read"},
    {"protectors", Type::Text, "catalogue, relative to the plan"},
    {"policy",
     Type::Table,
     "what the facility has decided; a `[[person]]` may override any of it",
     "",
     {},
     nullptr,
     &policy_keys},
    {"background", Type::Table, "the room with no sequence running", "", {}, nullptr, &level_keys},
    {"intercom",
     Type::Table,
     "speech over the intercom at the participant's ear position, ears open",
     "",
     {},
     nullptr,
     &level_keys},
    row_of_positions,
    {"timeline",
     Type::Tables,
     "what runs, in order",
     needed,
     {},
     nullptr,
     &timeline_keys,
     most_timeline_rows},
    {"criterion",
     Type::Tables,
     "a criterion of the plan's own",
     "",
     {},
     nullptr,
     &criterion_keys,
     most_own_criteria},
    {"person", Type::Tables, "one of the people", needed, {}, nullptr, &person_keys, most_people},
    {"site", Type::Text,
     "a site file with positions and background that several plans share, relative to the plan"},
    {"contact",
     Type::Table,
     "whom to call, for the sheet at the scanner; any of its keys",
     "",
     {},
     nullptr,
     &contact_keys},
};

}  // namespace

constexpr KeyTable derating_keys{"derating", rows_of_derating};
constexpr KeyTable policy_keys{"policy", rows_of_policy};
constexpr KeyTable criterion_keys{"criterion", rows_of_criterion};
constexpr KeyTable transmission_keys{"transmission", rows_of_transmission};
constexpr KeyTable position_keys{"position", rows_of_position, &transmission_keys};
constexpr KeyTable site_file{"site", rows_of_site, &file_keys};
constexpr KeyTable plan_file{"plan", rows_of_plan, &file_keys};

}  // namespace earbudget::files
