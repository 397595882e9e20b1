// The figures of a trial are those of the command line for the saved file.
#include <fstream>
#include <random>

#include "desk/try_edits.hpp"
#include "editing/edit.hpp"
#include "report/html/markup.hpp"
#include "support/try_desk.hpp"

using namespace earbudget;
using namespace earbudget::test;
using desk::trying::TrialForm;

namespace {

using Random = std::mt19937_64;

std::size_t any_of(std::size_t count, Random& random) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(random);
}

std::string one_of(const std::vector<std::string>& all, Random& random) {
    return all[any_of(all.size(), random)];
}

void change_row(TrialForm& form, Random& random) {
    auto& row = form.rows[any_of(form.rows.size(), random)];
    switch (any_of(5, random)) {
        case 0:
            row.duration =
                one_of({"20 s", "6 min", "1 h 10 min", "00:08:30", "0.5 s", "3 min"}, random);
            break;
        case 1:
            row.repeat = one_of({"1", "2", "7", "", "40"}, random);
            break;
        case 2:
            row.rest = one_of({"", "1 min", "10 min"}, random);
            break;
        case 3:
            row.sequence = one_of({"", "epi-2mm", "epi-fast", "gre-3d", "spin-echo"}, random);
            break;
        default:
            press(one_of({"up", "down", "remove", "add", "add-rest"}, random), row.key, form);
    }
}

void change_person(TrialForm& form, Random& random) {
    auto& person = form.people[any_of(form.people.size(), random)];
    switch (any_of(7, random)) {
        case 0:
            person.wears = {one_of({"", "formable", "flanged-small"}, random),
                            one_of({"", "muff-wide", "muff-slim"}, random)};
            break;
        case 1:
            person.sessions = one_of({"", "1", "2", "4"}, random);
            break;
        case 2:
            person.days = one_of({"", "0.5", "3", "5"}, random);
            break;
        case 3:
            person.worn = one_of({"", "0.9", "1"}, random);
            break;
        case 4:
            person.fit = one_of({"", "poor", "as-rated"}, random);
            break;
        case 5:
            if (!person.tasks.empty()) person.tasks[0].duration = "25 min";
            break;
        default:
            press(one_of({"like", "remove", "up", "down"}, random), person.key, form);
    }
}

void change_policy(TrialForm& form, Random& random) {
    auto& policy = form.policy;
    switch (any_of(5, random)) {
        case 0:
            policy.method = one_of({"", "best", "octave", "snr", "hml"}, random);
            break;
        case 1:
            policy.derating = one_of({"", "none", "uk-4dB"}, random);
            break;
        case 2:
            policy.accepted = one_of({"", "5", "1", "12.5"}, random);
            break;
        case 3:
            policy.criteria = {one_of({"niosh-rel", "eu-limit"}, random)};
            break;
        default:
            policy.performance = one_of({"84", "98", ""}, random);
    }
}

void change(TrialForm& form, Random& random) {
    const std::size_t what = any_of(8, random);
    if (what < 4)
        change_row(form, random);
    else if (what < 7)
        change_person(form, random);
    else
        change_policy(form, random);
}

/// "FILE:LINE:COLUMN: " is not said at a field.
std::string without_places(const std::string& errors, const std::string& file) {
    std::string words;
    for (std::size_t at = 0; at < errors.size();) {
        const std::size_t end = errors.find('\n', at);
        std::string line = errors.substr(at, end - at);
        if (line.starts_with(file + ":")) line.erase(0, line.find(": ") + 2);
        words += line + "\n";
        at = end + 1;
    }
    return words;
}

}  // namespace

TEST_CASE("200 random changes give the JSON that assess prints of the saved file") {
    TryDesk desk;
    Random random(22);
    int answered = 0;
    for (int n = 0; n < 200; ++n) {
        if (n % 8 == 0) std::ofstream(desk.plan()) << desk.original;
        desk.opened_anew();
        TrialForm form = desk.form();
        for (std::size_t more = any_of(3, random) + 1; more > 0; --more)
            change(form, random);
        const desk::Reply trial = desk.send(form, {{"do", "json"}});
        CAPTURE(content_of(desk.plan()));
        CAPTURE(desk::trying::packed(fields_of(form)));
        if (trial.status == 200) {
            ++answered;
            REQUIRE(!desk.leads_to(desk.send(form, {{"do", "save"}})).empty());
            const Outcome program = run_short({"assess", "--format", "json", desk.plan()});
            CHECK(program.errors.empty());
            REQUIRE(trial.body == program.output);
        } else {
            // What the command line refuses, in the same words.
            const std::string before = content_of(desk.plan());
            std::ofstream(desk.plan()) << editing::edited(
                before, edits_for(form, files::parse_toml(before, desk.plan())).edits);
            const Outcome program = run_short({"assess", "--format", "json", desk.plan()});
            CHECK(program.status == 2);
            const std::string first = without_places(program.errors, desk.plan());
            const std::string words = report::html::escaped(first.substr(0, first.find('\n')));
            CAPTURE(words);
            CHECK(holds(trial.body, words.substr(0, 40)));
            std::ofstream(desk.plan()) << desk.original;
        }
    }
    CHECK(answered > 150);
}

TEST_CASE("comments of the file are all there after any changes, but those of what was removed") {
    TryDesk desk;
    Random random(23);
    TrialForm form = desk.form();
    for (int n = 0; n < 30; ++n) {
        change_row(form, random);
        change_policy(form, random);
    }
    const std::string text = editing::edited(
        desk.original, edits_for(form, files::parse_toml(desk.original, desk.plan())).edits);
    for (const char* const comment :
         {"# The invented Saltmarsh Imaging Unit studies how harbour pilots see at night.",
          "# control room and the place beside the bore", "# on the sheet for the operator",
          "# recordings/background.flac", "# narrow ear canals: only the smaller plug fits",
          "# beside pilot-b for the whole session"})
        CHECK_MESSAGE(holds(text, comment), comment);
}
