// Every mistake in a file gets one line that names file, line and column, what is wrong and what is
// accepted; nothing reaches standard output and the exit status is 2.
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/refusal.hpp"

using namespace earbudget::test;

namespace {

Outcome assessed_as_text(const StudyText& text) {
    const StudyFolder study(text);
    return run_program({"assess", "plan.toml"}, study.root());
}

}  // namespace

TEST_CASE("the small study itself is accepted") {
    const StudyFolder study;
    const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
    CHECK(outcome.status == 0);
    CHECK(outcome.output.find("Within every limit: participant") == 0);
}

TEST_CASE("mistakes in a plan") {
    const std::vector<Mistake> mistakes = {
        {"kind = \"plan\"", "kind = \"sequence\"", "plan.toml:1:8", "\"plan\""},
        {"kind = \"plan\"\n", "", "plan.toml:1:1", "no \"kind\""},
        {"duration = \"8 min\"", "duratio = \"8 min\"", "plan.toml:14:1",
         "nearest known is \"duration\""},
        {"format = 1", "format = 2", "plan.toml:2:10", "accepted: 1"},
        {"format = 1\n", "", "plan.toml:1:1", "no \"format\""},
        {"title = \"Small\"", "titel = \"Small\"", "plan.toml:3:1", "nearest known is \"title\""},
        {"title = \"Small\"", "title = 7", "plan.toml:3:9", "a number"},
        {"title = \"Small\"", "title = \"Small", "plan.toml:3:15", "not TOML"},
        {"\"cards\"", "\"nowhere\"", "plan.toml:4:13", "nowhere"},
        {"\"cards\"", "\".\"", "plan.toml:13:12", "subfolders are not read"},
        {"sequences = \"cards\"\n", "", "plan.toml:12:12", "the plan has no key \"sequences\""},
        {"\"protectors.toml\"", "\"absent.toml\"", "plan.toml:5:14", "no such file"},
        {"\"nrr\"", "\"snnr\"", "plan.toml:7:10", "\"snr\""},
        {"\"nrr\"", "4", "plan.toml:7:10", "a number"},
        {"\"none\"", "\"half\"", "plan.toml:8:12", "uk-4dB"},
        {"\"nrr\"\nderating = \"none\"", "\"par\"\nderating = \"niosh\"", "plan.toml:8:12",
         "no publication defines derating niosh with method par"},
        {"\"none\"", "{ db = 3 }", "plan.toml:8:14", "\"dB\""},
        {"\"none\"", "{ dB = -3 }", "plan.toml:8:19", "from 0 to 60 dB"},
        {"\"niosh-rel\"", "\"nosh\"", "plan.toml:9:13", "niosh-rel"},
        {"\"niosh-rel\", \"iec-60601-2-33\"", "", "plan.toml:9:12", "empty"},
        {"LAeq = 68.0", "LAeq = 680.0", "plan.toml:11:8", "-20 to 190 dB"},
        {"LAeq = 68.0", "LAeq = nan", "plan.toml:11:8", "-20 to 190 dB"},
        {"LAeq = 68.0", "LAeq = -inf", "plan.toml:11:8", "-20 to 190 dB"},
        {"LAeq = 68.0", "LAeq = \"68 dB\"", "plan.toml:11:8", "a string"},
        {"LAeq = 68.0", "LAeq = 1999-01-01", "plan.toml:11:8", "a date"},
        {"\"epi\"", "\"epj\"", "plan.toml:13:12", "nearest known is \"epi\""},
        {"\"8 min\"", "8", "plan.toml:14:12", "duration in quotes"},
        {"\"8 min\"", "\"8 parsecs\"", "plan.toml:14:12", "\"8 min\""},
        {"\"8 min\"", "\"-8 min\"", "plan.toml:14:12", "longer than 0 s"},
        {"\"8 min\"", "\"0 s\"", "plan.toml:14:12", "longer than 0 s"},
        {"\"8 min\"", "\"1e9 h\"", "plan.toml:14:12", "duration"},
        {"duration = \"8 min\"\n", "", "plan.toml:12:1", "either"},
        {"repeat = 2", "repeat = 0", "plan.toml:15:10", "from 1 to"},
        {"repeat = 2", "repeat = 2.5", "plan.toml:15:10", "whole number"},
        {"repeat = 2", "repeet = 2", "plan.toml:15:1", "nearest known is \"repeat\""},
        {"rest = \"2 min\"", "rest = \"2 dB\"", "plan.toml:17:8", "duration"},
        {"rest = \"2 min\"", "", "plan.toml:16:1", "either"},
        {"\"foam\"", "\"fome\"", "plan.toml:21:10", "nearest known is \"foam\""},
        {"wears = [\"foam\"]", "wears = \"foam\"", "plan.toml:21:9", "array"},
        {"wears = [\"foam\"]", "wears = [\"foam\", \"foam\"]", "plan.toml:21:9", "two plugs"},
        {"wears = [\"foam\"]", "wears = [\"muff\", \"muff\"]", "plan.toml:21:9", "two earmuffs"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\nworn = 1.5", "plan.toml:22:8", "from 0 to 1"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\nfit = \"good\"", "plan.toml:22:7", "poor"},
        {"repeat = 2", "repeat = 2\nreinsert = true", "plan.toml:16:12", "beside a sequence"},
        {"repeat = 2", "repeat = 2\nduration_from = \"volume\"", "plan.toml:16:17",
         "\"AcquisitionDuration\", \"volumes\""},
        {"rest = \"2 min\"", "rest = \"2 min\"\nduration_from = \"volumes\"", "plan.toml:18:17",
         "stands beside a rest; accepted: with a sequence"},
        {"rest = \"2 min\"", "rest = \"2 min\"\nreinsert = 1", "plan.toml:18:12", "true or false"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\nfit_uncertainty = 21", "plan.toml:22:19",
         "from 0 to 20 dB"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\nworn_uncertainty = 0.6", "plan.toml:22:20",
         "from 0 to 0.5"},
        {"wears = [\"foam\"]",
         "wears = [\"foam\"]\nPAR = 20\nPAR_uncertainty = 2\nfit_uncertainty = 2",
         "plan.toml:24:19", "beside a PAR_uncertainty"},
        {"wears = [\"foam\"]", "PAR = 20", "plan.toml:21:7", "wears nothing"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\ntitle = 7", "plan.toml:22:9", "text in quotes"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\nnote = true", "plan.toml:22:8",
         "text in quotes"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\nage_group = \"baby\"", "plan.toml:22:13",
         "\"neonate\""},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\npregnant_staff = \"yes\"", "plan.toml:22:18",
         "true or false"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\ntinnitus_or_hyperacusis = 1", "plan.toml:22:27",
         "true or false"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\nhearing_device = 1", "plan.toml:22:18",
         "true or false"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\nunfitted_ear = \"both\"", "plan.toml:22:16",
         "\"left\" or \"right\""},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\ninstead = [\"mufff\"]", "plan.toml:22:12",
         "nearest known is \"muff\""},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\ninstead = [\"foam\"]", "plan.toml:22:11",
         "is what \"wears\" says"},
        {"wears = [\"foam\"]", "wears = []\ninstead = [\"muff\"]", "plan.toml:22:11",
         "wears nothing"},
        {"wears = [\"foam\"]", "wears = [\"foam\"]\ncannot_wear = [\"muff\"]\ninstead = [\"muff\"]",
         "plan.toml:23:11", "also stands in cannot_wear"},
        {"wears = [\"foam\"]\n",
         "wears = [\"foam\"]\n[[person.protector]]\nid = \"muff\"\ntype = \"earmuff\"\n",
         "plan.toml:23:6", "stands twice"},
        {"wears = [\"foam\"]\n", "wears = [\"foam\"]\n[[person.protector]]\nid = \"own\"\n",
         "plan.toml:22:1", "\"type\""},
        {"wears = [\"foam\"]\n",
         "wears = [\"foam\"]\n[[person.protector]]\nid = \"own\"\ntype = \"earmuff\"\n"
         "[[person]]\nid = \"other\"\nrole = \"participant\"\nwears = [\"own\"]\n",
         "plan.toml:28:9", "a protector of \"participant\" alone"},
        {"role = \"participant\"", "role = \"patient\"", "plan.toml:20:8", "\"staff\""},
        {"role = \"participant\"", "role = \"staff\"", "plan.toml:18:1", "[[person.task]]"},
        {"role = \"participant\"", "role = \"accompanying\"", "plan.toml:18:1",
         "is accompanying without a task"},
        {"wears = [\"foam\"]",
         "[[person.task]]\nposition = \"bore\"\nduring = \"timeline\"\n[[position]]\nid = "
         "\"bore\"\ndifference_dB = 0",
         "plan.toml:23:10", "hears the timeline at the ear position"},
        {"\"none\"", "\"none\"\nweekly_average = 5", "plan.toml:9:18", "true or false"},
        {"id = \"participant\"", "id = \" participant\"", "plan.toml:19:6", "blank"},
        {"id = \"participant\"\n", "", "plan.toml:18:1", "\"id\""},
        {"[policy]", "[contact]\n[policy]", "plan.toml:6:1", "says nobody"},
        {"[policy]", "[contact]\ntelephone = \"204\"\n[policy]", "plan.toml:7:1",
         "\"telephone\" in [contact]"},
        {"title = \"Small\"",
         "title = \"Longer than a text without memory of its own\"\n"
         "contact = { phone = 5 }",
         "plan.toml:4:21", "a number"},
    };
    std::set<std::string> messages;
    for (const Mistake& mistake : mistakes) {
        StudyText text;
        text.plan = with(text.plan, mistake.old, mistake.fresh);
        check_refused(assessed_as_text(text), mistake, messages);
    }
    CHECK(messages.size() == mistakes.size());  // no two mistakes hide behind one message
}

TEST_CASE("mistakes in a criterion of the plan's own") {
    const std::string begin = "id = \"house\"\nlevel_dB = 80";
    const std::vector<Mistake> mistakes = {
        {begin, "id = \"niosh-rel\"\nlevel_dB = 80", "plan.toml:23:6", "taken"},
        {begin, "id = \"house\"", "plan.toml:22:1", "level_dB"},
        {begin, begin + "\nfor = [\"parent\"]", "plan.toml:25:8", "\"accompanying\""},
        {begin, begin + "\nfor = []", "plan.toml:25:7", "empty"},
        {begin, begin + "\nweekly = true", "plan.toml:25:10", "hours of a week"},
        {begin, begin + "\npeak_dBC = 137\npeak_dB = 140", "plan.toml:26:11", "one of them"},
        {begin, begin + "\nceiling_dB = 400", "plan.toml:25:14", "from 40 to 140 dB"},
        {begin, begin + "\nceilin_dB = 120", "plan.toml:25:1", "nearest known is \"ceiling_dB\""},
    };
    std::set<std::string> messages;
    for (const Mistake& mistake : mistakes) {
        StudyText text;
        text.plan += "[[criterion]]\n" + begin + "\n";
        text.plan = with(text.plan, mistake.old, mistake.fresh);
        check_refused(assessed_as_text(text), mistake, messages);
    }
    CHECK(messages.size() == mistakes.size());
}

TEST_CASE("mistakes in a card") {
    const std::vector<Mistake> mistakes = {
        {"LAeq = 108.0", "LAeq = 200", "cards/epi.toml:5:8", "-20 to 190 dB"},
        {"LAeq = 108.0", "LAeq = 112.0", "cards/epi.toml:5:8", "112.0"},
        {"LCpeak = 124.0", "LCpeak = 100.0", "cards/epi.toml:7:10", "100.0"},
        {"uncertainty = 1.5", "uncertainty = -1", "cards/epi.toml:8:15", "from 0 to"},
        {"LCeq = 109.5", "LCq = 109.5", "cards/epi.toml:6:1", "nearest known is \"LCeq\""},
        {"how = \"entered\"", "how = \"heard\"", "cards/epi.toml:10:7", "\"measured\""},
        {"LCeq = 109.5", "octave = { \"1000\" = 104.5 }", "cards/epi.toml:5:8", "104.5"},
        {"LCeq = 109.5", "octave = { \"900\" = 104.5 }", "cards/epi.toml:6:12", "1000"},
        {"LAeq = 108.0\nLCeq = 109.5\n", "", "cards/epi.toml:4:1", "\"LAeq\""},
        {"[levels]", "[level]", "cards/epi.toml:4:2", "nearest known is \"levels\""},
        {"LCeq = 109.5", "LCeq = 105.5", "cards/epi.toml:5:8", "105.5"},
        {"id = \"epi\"", "id = \"\"", "cards/epi.toml:3:6", "empty"},
        {"format = 1", "format = \"1\"", "cards/epi.toml:2:10", "a string"},
        {"id = \"epi\"\n", "id = \"epi\"\nscaner = \"3 T\"\n", "cards/epi.toml:4:1",
         "nearest known is \"scanner\""},
        {"id = \"epi\"\n", "id = \"epi\"\ncoil = 32\n", "cards/epi.toml:4:8", "text in quotes"},
        {"id = \"epi\"\n", "id = \"epi\"\nsoftware = true\n", "cards/epi.toml:4:12",
         "text in quotes"},
        {"id = \"epi\"\n", "id = \"epi\"\nvalid_until = \"2026-02-29\"\n", "cards/epi.toml:4:15",
         "no day of the calendar"},
        {"id = \"epi\"\n", "id = \"epi\"\nvalid_until = 2026-02-28\n", "cards/epi.toml:4:15",
         "a date"},
        {"id = \"epi\"\n", "id = \"epi\"\nsupersedes = [\"old\", \"epi\"]\n", "cards/epi.toml:4:22",
         "the card itself"},
        {"id = \"epi\"\n", "id = \"epi\"\nsupersedes = 3\n", "cards/epi.toml:4:14",
         "an array of texts"},
        {"how = \"entered\"", "how = \"entered\"\nwhen = \"2999-01-31\"", "cards/epi.toml:11:8",
         "later than tomorrow"},
        {"how = \"entered\"", "how = \"felt\"", "cards/epi.toml:10:7", "\"predicted\""},
    };
    std::set<std::string> messages;
    for (const Mistake& mistake : mistakes) {
        StudyText text;
        text.card = with(text.card, mistake.old, mistake.fresh);
        check_refused(assessed_as_text(text), mistake, messages);
    }
    CHECK(messages.size() == mistakes.size());
}

TEST_CASE("mistakes in a catalogue") {
    const std::vector<Mistake> mistakes = {
        {"type = \"foam-plug\"", "type = \"foam\"", "protectors.toml:5:8", "\"foam-plug\""},
        {"SNR = 30", "SNR = 300", "protectors.toml:7:7", "from -20 to 80 dB"},
        {"SNR = 30", "SRN = 30", "protectors.toml:7:1", "nearest known is \"SNR\""},
        {"id = \"muff\"", "id = \"foam\"", "protectors.toml:10:6", "protectors.toml:3:1"},
        {"SNR = 30", "mean = [20, 30]", "protectors.toml:3:1", "all three"},
        {"SNR = 30", "frequency = [125]\nmean = [20, 30]\nsd = [3]", "protectors.toml:7:13",
         "as many"},
        {"SNR = 30", "frequency = [100]\nmean = [20]\nsd = [3]", "protectors.toml:7:14", "125"},
        {"SNR = 30", "frequency = [125, 125]\nmean = [20, 20]\nsd = [3, 3]", "protectors.toml:7:19",
         "twice"},
        {"SNR = 30", "frequency = [125]\nmean = [20]\nsd = [-3]", "protectors.toml:9:7", "dB"},
        {"metal_free = true", "metal_free = \"yes\"", "protectors.toml:6:14", "true or false"},
        {"type = \"earmuff\"", "type = \"pad\"", "protectors.toml:12:7", "no published reduction"},
        {"NRR = 20\n", "NRR = 20\n[[pair]]\nprotectors = [\"muff\", \"mist\"]\n",
         "protectors.toml:14:23", "mist"},
        {"NRR = 20\n", "NRR = 20\n[[pair]]\nprotectors = [\"muff\"]\n", "protectors.toml:14:14",
         "two"},
        {"NRR = 20\n",
         "NRR = 20\n[[pair]]\nprotectors = [\"muff\", \"foam\"]\n[[pair]]\nprotectors = "
         "[\"foam\", \"muff\"]\n",
         "protectors.toml:16:14", "stands twice"},
    };
    std::set<std::string> messages;
    for (const Mistake& mistake : mistakes) {
        StudyText text;
        text.protectors = with(text.protectors, mistake.old, mistake.fresh);
        check_refused(assessed_as_text(text), mistake, messages);
    }
    CHECK(messages.size() == mistakes.size());
}

TEST_CASE("combinations without a publication") {
    std::set<std::string> messages;
    StudyText text;
    const Mistake mistake{"method = \"nrr\"\nderating = \"none\"",
                          "method = \"snr\"\nderating = \"niosh\"", "plan.toml:8:12", "method nrr"};
    text.plan = with(text.plan, mistake.old, mistake.fresh);
    check_refused(assessed_as_text(text), mistake, messages);
}

TEST_CASE("empty and missing parts") {
    std::set<std::string> messages;
    StudyText empty_timeline;
    empty_timeline.plan =
        "kind = \"plan\"\nformat = 1\ntimeline = []\n[[person]]\nid = \"p\"\nrole = "
        "\"participant\"\n";
    check_refused(assessed_as_text(empty_timeline), {"", "", "plan.toml:3:12", "timeline is empty"},
                  messages);
    StudyText nobody;
    nobody.plan = nobody.plan.substr(0, nobody.plan.find("[[person]]"));
    check_refused(assessed_as_text(nobody), {"", "", "plan.toml:1:1", "[[person]]"}, messages);
    StudyText empty;
    empty.plan = "";
    check_refused(assessed_as_text(empty), {"", "", "plan.toml:1:1", "kind"}, messages);
    StudyText binary;
    binary.plan = std::string("kind = \"\xff\xfe\"\n\0", 14);
    check_refused(assessed_as_text(binary), {"", "", "plan.toml:1:8", "not TOML"}, messages);
    CHECK(messages.size() == 4);
}

TEST_CASE("two cards with one id are an error that names both") {
    const StudyFolder study;
    static_cast<void>(study.folder().write("cards/zz.toml", StudyText().card));
    const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
    CHECK(outcome.status == 2);
    CHECK(outcome.errors.find("cards/epi.toml") != std::string::npos);
    CHECK(outcome.errors.find("cards/zz.toml") != std::string::npos);
}

TEST_CASE("a plan that is missing, a folder or truncated anywhere never gets a result half made") {
    const StudyFolder study;
    for (const std::string path : {"absent.toml", "cards"}) {
        const Outcome outcome = run_program({"assess", path}, study.root());
        CHECK(outcome.status == 2);
        CHECK(outcome.errors.find(path + ":1:1: ") == 0);
        CHECK(outcome.output.empty());
    }
    const std::string whole = StudyText().plan;
    int refused = 0;
    for (std::size_t length = 0; length < whole.size(); length += 7) {
        static_cast<void>(study.folder().write("plan.toml", whole.substr(0, length)));
        const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
        CAPTURE(length);
        if (outcome.status == 2) {
            ++refused;
            CHECK(outcome.output.empty());
            CHECK(outcome.errors.find("plan.toml:") == 0);
            CHECK(outcome.errors.find("accepted: ") != std::string::npos);
        } else {
            CHECK((outcome.status == 0 || outcome.status == 1));  // cut between whole statements
            CHECK(outcome.errors.empty());
        }
    }
    CHECK(refused > 50);
}
