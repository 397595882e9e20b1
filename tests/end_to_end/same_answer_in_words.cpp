// Sentences hang on the verdict that stands beside them: none promises more, and each gives the
// reason that there is.
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

using Words = std::vector<std::string>;

/// Lines put together again.
std::string in_one_line(const std::string& text) {
    std::string line;
    for (const char letter : text) {
        const bool blank = letter == '\n' || letter == ' ';
        if (!blank)
            line += letter;
        else if (!line.empty() && line.back() != ' ')
            line += ' ';
    }
    return line;
}

std::string short_of(const StudyFolder& study, Words words) {
    return in_one_line(run_short(words, study.root()).output);
}

std::string whole_of(const StudyFolder& study, Words words) {
    const Outcome outcome = run_program(words, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status < 2);
    return in_one_line(outcome.output);
}

bool says(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

StudyText guessed(StudyText text) {
    text.card = with(text.card, "entered", "guessed");
    return text;
}

StudyText with_person(StudyText text, const std::string& more) {
    text.plan = with(text.plan, "wears = [\"foam\"]\n", "wears = [\"foam\"]\n" + more);
    return text;
}

const Words assess = {"assess", "plan.toml"};
const Words choose = {"choose", "plan.toml"};
const Words sheet = {"assess", "plan.toml", "--sheet", "--format", "html"};

/// Somebody of the staff who stands at a position of a site file.
const std::string site_of_examples =
    "kind = \"site\"\nformat = 1\nexamples = true\n[[position]]\nid = \"door\"\n"
    "difference_dB = -40.0\nuncertainty = 2.0\n";

StudyText of_staff() {
    StudyText text;
    text.plan = with(text.plan, "role = \"participant\"", "role = \"staff\"");
    text.plan = with(text.plan, "wears = [\"foam\"]", "wears = []");
    text.plan = with(text.plan, "[policy]", "site = \"site.toml\"\n[policy]");
    text.plan += "[[person.task]]\nduring = \"timeline\"\nposition = \"door\"\n";
    return text;
}

}  // namespace

TEST_CASE("by levels that nobody measured no sentence promises that limits are kept") {
    StudyText bare;
    bare.plan = with(bare.plan, "wears = [\"foam\"]", "wears = []");
    StudyText half = with_person({}, "worn = 0.9\n");
    half.plan = with(half.plan, "\"8 min\"", "\"40 min\"");
    StudyText often = bare;
    often.plan = with(often.plan, "wears = []", "wears = []\nsessions_per_day = 2");
    StudyText instead = with_person({}, "instead = [\"muff\"]\n");
    StudyText quiet;
    quiet.card = with(quiet.card, "108.0", "92.0");
    quiet.card = with(quiet.card, "109.5", "93.5");
    for (const StudyText& text : {StudyText(), bare, half, often, instead, quiet}) {
        const StudyFolder study(guessed(text));
        Words pages = assess;
        pages.insert(pages.end(), {"--format", "html"});
        for (const Words& words : {assess, choose, sheet, pages}) {
            const std::string said = whole_of(study, words);
            CAPTURE(said);
            for (const char* promise :
                 {"within every exposure limit", "no exposure limit exceeded",
                  "keeps every exposure limit", "every exposure limit is kept",
                  "every limit is kept", "yet within every limit", "within by the best estimate",
                  "now would keep every exposure limit"})
                CHECK(!says(said, promise));
        }
        const std::string review =
            whole_of(study, {"review", "cards/epi.toml", "--protectors", "protectors.toml"});
        CHECK(!says(review, "may be approved on conditions"));
        CHECK(!says(review, "may be approved only"));
        CHECK(says(review, "measure before approving"));
    }
    const std::string said = whole_of(StudyFolder(guessed(bare)), assess);
    CHECK(says(said, "close, no better since nobody measured the levels, if fitted as rated"));
    CHECK(says(whole_of(StudyFolder(guessed({})), assess),
               "poorly seated (no more than 10 dB): LEX,8h at the ear 83.2 dB(A), close, no better "
               "since nobody measured the levels"));
    // Of levels that somebody answers for it is said as before.
    CHECK(says(whole_of(StudyFolder(bare), assess), "within every exposure limit if fitted"));
    CHECK(says(whole_of(StudyFolder(quiet), assess), "no exposure limit exceeded"));
    StudyText staff = of_staff();
    const StudyFolder at_door(guessed(staff));
    static_cast<void>(at_door.folder().write("site.toml", site_of_examples));
    CHECK(says(whole_of(at_door, choose), "none needed: close with nothing worn"));
}

TEST_CASE("no action value is perhaps reached for want of a measurement alone") {
    StudyText text = of_staff();
    text.plan = with(text.plan, "criteria = [\"niosh-rel\", \"iec-60601-2-33\"]\n", "");
    const StudyFolder study(guessed(text));
    // Above the lower action value by its level, far below by its peak.
    static_cast<void>(study.folder().write("site.toml", with(site_of_examples, "-40.0", "-10.0")));
    const std::string said = whole_of(study, assess);
    CAPTURE(said);
    CHECK(says(said, "eu-lower-action: LEX,8h"));
    CHECK(!says(said, "eu-upper-action: peak"));
    CHECK(!says(said, "eu-lower-action: peak"));
}

TEST_CASE("for a neonate nothing is left to limits that are made for others, wherever it is said") {
    const StudyFolder study(with_person({}, "age_group = \"neonate\"\n"));
    const std::string whole = whole_of(study, assess);
    CHECK(says(whole, "cannot be decided, since no published limit for neonates is known"));
    CHECK(!says(whole, "for want of a method"));
    CHECK(says(whole, "unknown, made for others"));
    for (const Words& words :
         {assess, choose, sheet, Words{"assess", "plan.toml", "--format", "html"},
          Words{"choose", "plan.toml", "--format", "html"}}) {
        for (const std::string& said : {whole_of(study, words), short_of(study, words)}) {
            CAPTURE(said);
            CHECK(!says(said, "dB left"));
            CHECK(!says(said, "over a limit with a probability"));
            CHECK(!says(said, "more runs that fit: of each"));
            CHECK(!says(said, "· > 20 more"));
        }
    }
    CHECK(says(whole_of(study, sheet), "no limit is known"));
    const nlohmann::json report = nlohmann::json::parse(
        run_program({"assess", "plan.toml", "--format", "json"}, study.root()).output);
    for (const nlohmann::json& criterion : report["people"][0]["criteria"]) {
        CHECK(criterion["made_for_others"] == true);
        CHECK(says(criterion["remark"], "made for others than neonates"));
    }
    const std::string table =
        run_program({"assess", "plan.toml", "--format", "csv"}, study.root()).output;
    CHECK(says(table, ",percent,,,unknown,"));
    const std::string ranked =
        run_program({"choose", "plan.toml", "--format", "csv"}, study.root()).output;
    CHECK(says(ranked, ",,,unknown,"));
    // Over a limit of others is over all the same, by how much too.
    StudyText over = with_person({}, "age_group = \"neonate\"\n");
    over.plan = with(over.plan, "\"8 min\"", "\"10 h\"");
    CHECK(says(whole_of(StudyFolder(over), assess), "dB over"));
}

TEST_CASE("a short answer cuts no name, no spare and no reason") {
    StudyText text;
    text.protectors = with(text.protectors, "type = \"foam-plug\"",
                           "title = \"Formable foam plug of the large pack, orange\"\n"
                           "type = \"foam-plug\"");
    text.protectors = with(text.protectors, "type = \"earmuff\"",
                           "title = \"Slim earmuff with the grey cushions, no wire\"\n"
                           "fits_head_coil = true\nmetal_free = true\ntype = \"earmuff\"");
    text.plan = with(text.plan, "\"8 min\"", "\"50 min\"");
    for (const bool measured : {true, false}) {
        StudyText one = measured ? text : guessed(text);
        for (const char* id : {"bold", "diffusion", "localiser", "anatomy"})
            one.plan += fmt::format("[[timeline]]\nsequence = \"{}\"\nduration = \"10 min\"\n", id);
        const StudyFolder study(one);
        for (const char* id : {"bold", "diffusion", "localiser", "anatomy"})
            static_cast<void>(
                study.folder().write(fmt::format("cards/{}.toml", id),
                                     with(one.card, "\"epi\"", fmt::format("\"{}\"", id))));
        const std::string said = short_of(study, assess);
        CAPTURE(said);
        CHECK(!says(said, "…"));
        CHECK((says(said, "spare: Slim earmuff with the grey cushions, no wire") ||
               says(said, "spare: muff")));
        if (!measured) {
            CHECK(says(said, "Measure the levels of \"epi\" (guessed)"));
            CHECK(says(said, "and 4 more: --detail"));
        }
        CHECK(!says(short_of(study, choose), "…"));
    }
}

TEST_CASE("what to hand out stands with everyone, beyond a screen and in detail") {
    StudyText text;
    for (int n = 1; n <= 8; ++n)
        text.plan += fmt::format(
            "[[person]]\nid = \"p{}\"\nrole = \"participant\"\nwears = "
            "[\"foam\"]\nfit_uncertainty = {}.5\n",
            n, n);
    text.plan += "[[person]]\nid = \"bare\"\nrole = \"participant\"\nwears = []\n";
    const StudyFolder study(text);
    const std::string whole = whole_of(study, assess);
    std::size_t number = 0;
    for (std::size_t at = whole.find("Hand out"); at != std::string::npos;
         at = whole.find("Hand out", at + 1))
        ++number;
    CHECK(number == 10);
    const std::string said = short_of(study, assess);
    CAPTURE(said);
    CHECK(says(said, "Hand out instead: foam"));
    for (int n = 1; n <= 8; ++n)
        CHECK((says(said, fmt::format("p{},", n)) || says(said, fmt::format("p{} and", n)) ||
               says(said, fmt::format("p{}:", n)) || says(said, "others: Hand out: foam")));
}

TEST_CASE("nothing is advised that is followed already, nor handed out that is not agreed to") {
    StudyText text = of_staff();
    text.card = with(text.card, "LCeq = 109.5\n", "low_frequency = false\n");
    text.card = with(text.card, "LCpeak = 124.0\n", "");
    text.protectors = with(text.protectors, "NRR = 26\n", "H = 32\nM = 28\nL = 24\n");
    text.plan = with(text.plan, "method = \"nrr\"", "method = \"best\"");
    text.plan = with(text.plan, "wears = []", "wears = [\"foam\"]");
    const StudyFolder at_door(text);
    static_cast<void>(at_door.folder().write("site.toml", site_of_examples));
    const std::string said = whole_of(at_door, assess);
    CAPTURE(said);
    CHECK(says(said, "enter LCeq"));
    CHECK(!says(said, "or low_frequency = false"));

    const StudyFolder muffs(with_person({}, "only = \"earmuffs\"\n"));
    const std::string refused = short_of(muffs, assess);
    CAPTURE(refused);
    CHECK(!says(refused, "Hand out: foam"));
    CHECK(says(refused, "Do not start"));
    CHECK(says(short_of(muffs, choose), "none is what the person agrees to"));
    CHECK(says(whole_of(muffs, assess), "the person agrees to earmuffs only"));
}

TEST_CASE("what hangs on examples is said with the verdict of whom it concerns") {
    const StudyFolder study(of_staff());
    static_cast<void>(study.folder().write("site.toml", site_of_examples));
    const std::string words = "by examples that nobody measured: the position \"door\"";
    CHECK(says(short_of(study, assess), words));
    CHECK(says(whole_of(study, assess), words));
    CHECK(says(short_of(study, choose), words));
    CHECK(says(whole_of(study, {"assess", "plan.toml", "--sheet", "--format", "html"}),
               "by examples that nobody measured"));
    static_cast<void>(
        study.folder().write("site.toml", with(site_of_examples, "examples = true\n", "")));
    CHECK(!says(whole_of(study, assess), "by examples"));
}

TEST_CASE("the sheet and the ranking say what they mean") {
    StudyText own = with_person({},
                                "[[person.protector]]\nid = \"own\"\ntype = \"custom-plug\"\n"
                                "metal_free = true\nPAR = 25\n");
    own.plan = with(own.plan, "wears = [\"foam\"]", "wears = [\"own\"]");
    own.plan = with(own.plan, "method = \"nrr\"", "method = \"best\"");
    const std::string said = whole_of(StudyFolder(own), assess);
    CHECK(says(said, "that the plan states with this person's own protector is used"));
    CHECK(!says(said, "in the catalogue is used"));
    StudyText none;
    none.plan = with(none.plan, "criteria = [\"niosh-rel\", \"iec-60601-2-33\"]",
                     "criteria = [\"eu-limit\"]");
    for (const StudyText& text : {none, with_person({}, "age_group = \"neonate\"\n")})
        CHECK(!says(whole_of(StudyFolder(text), sheet), "the limit named above"));
    StudyText peak;
    peak.card = with(peak.card, "LCpeak = 124.0", "LCpeak = 154.0");
    CHECK(says(whole_of(StudyFolder(peak), choose),
               "over a limit, whatever is worn"));
}
