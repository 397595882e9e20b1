// Cards on pages of the desk: what they show, and changing them.
#include "support/sounds_desk.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const std::string commented =
    "# of the old scanner\nkind = \"sequence\"\nformat = 1\nid = \"quiet\"\n"
    "title = \"Quiet one\"  # as on the list\n\n[levels]\nLAeq = 90.25  # from the leaflet\n\n"
    "# who said so\n[origin]\nhow = \"entered\"\nwho = \"A. N. Other\"\n";

DeskFixture::Fields card_form(const std::string& page, DeskFixture::Fields more) {
    more.insert(more.begin(), {{"card", SoundsDesk::hidden_in(page, "card")},
                               {"file", SoundsDesk::hidden_in(page, "file")},
                               {"was", SoundsDesk::hidden_in(page, "was")}});
    return more;
}

}  // namespace

TEST_CASE("the list of sequences has what `cards` tells of each") {
    const SoundsDesk desk;
    const std::string page = desk.get("/sounds").body;
    const auto told = desk.told({"cards", ".", "--format=json"});
    REQUIRE(told["cards"].size() == 6);
    for (const auto& card : told["cards"]) {
        const auto id = card["id"].get<std::string>();
        CHECK_MESSAGE(has(page, "/sounds/card?id=" + id), id);
        CHECK_MESSAGE(has(page, "<bdi>" + fmt::format("{:.1f}", card["LAeq_dB"].get<double>())),
                      id);
    }
    for (const char* words :
         {"Protectors in protectors.toml", "Formable foam plug", "SNR 29, H 31"})
        CHECK_MESSAGE(has(page, words), words);
    CHECK(page.size() < 150'000);
}

TEST_CASE("a card is shown with its levels, bands and origin, in the numbers of its file") {
    const SoundsDesk desk;
    const std::string page = desk.get("/sounds/card?id=epi-2mm").body;
    for (const char* words : {"114.8 dB(A)", "116.0 dB(C)", "Used by", "Saltmarsh Imaging Unit",
                              "data-series=\"octave\"", "114.486", "value=\"114.805\""})
        CHECK_MESSAGE(has(page, words), words);
    CHECK(desk.get("/sounds/card?id=nothing").status == 422);
    CHECK(desk.get("/sounds/card?id=epi-2mm&file=../plan.toml").status == 422);
}

TEST_CASE("a changed value is saved where it stands, and every comment stays") {
    const SoundsDesk desk;
    desk.write("cards/quiet.toml", commented);
    const std::string page = desk.get("/sounds/card?id=quiet").body;
    const desk::Reply saved = desk.post("/sounds/card", card_form(page, {{"do", "save"},
                                                                         {"levels.LAeq", "91.5"},
                                                                         {"title", "Quiet one"},
                                                                         {"origin.who", ""}}));
    CHECK(saved.status == 303);
    std::string expected = commented;
    expected.replace(expected.find("90.25"), 5, "91.5");
    expected.erase(expected.find("who = \"A. N. Other\"\n"), 20);
    CHECK(desk.read("cards/quiet.toml") == expected);
    CHECK(has(desk.get(DeskFixture::leads_to(saved)).body, "Saved. No plan of this folder"));
}

TEST_CASE("which plans are answered anew with a changed card is said") {
    const SoundsDesk desk;
    const std::string page = desk.get("/sounds/card?id=epi-2mm").body;
    const desk::Reply saved = desk.post(
        "/sounds/card", card_form(page, {{"do", "save"}, {"title", "Echo planar, another"}}));
    REQUIRE(saved.status == 303);
    CHECK(has(desk.get(DeskFixture::leads_to(saved)).body,
              "Answered anew with this card from now on: plan.toml"));
}

TEST_CASE("what is wrong stands at its field in the reader's words, and nothing is saved") {
    const SoundsDesk desk;
    const std::string before = desk.read("cards/epi-2mm.toml");
    const std::string page = desk.get("/sounds/card?id=epi-2mm").body;
    struct Wrong {
        const char *field, *value, *says;
    };
    for (const Wrong& wrong :
         {Wrong{"levels.LAeq", "eighty", "eighty"},
          Wrong{"levels.LAeq", "114,8", "with a decimal point: 114.8"},
          Wrong{"levels.LAeq", "500", "190"}, Wrong{"levels.octave.63", "x", "accepted"},
          Wrong{"levels.LCpeak", "80", "accepted"}, Wrong{"valid_until", "soon", "YYYY-MM-DD"},
          Wrong{"origin.when", "2999-01-01", "later than tomorrow"}}) {
        const desk::Reply reply = desk.post(
            "/sounds/card", card_form(page, {{"do", "save"}, {wrong.field, wrong.value}}));
        CHECK_MESSAGE(reply.status == 422, wrong.value);
        const std::string said = SoundsDesk::wrong_at(reply.body, wrong.field);
        CHECK_MESSAGE(has(said, wrong.says), said);
        CHECK(has(reply.body, "value=\"" + std::string(wrong.value) + "\""));
        CHECK(desk.read("cards/epi-2mm.toml") == before);
    }
}

TEST_CASE("checking saves nothing") {
    const SoundsDesk desk;
    const std::string before = desk.read("cards/epi-2mm.toml");
    const std::string page = desk.get("/sounds/card?id=epi-2mm").body;
    const desk::Reply reply =
        desk.post("/sounds/card", card_form(page, {{"do", "check"}, {"levels.LCeq", "117"}}));
    CHECK(reply.status == 200);
    CHECK(has(reply.body, "One value is changed; the card reads without mistakes."));
    CHECK(has(reply.body, "117.0 dB(C)"));
    CHECK(desk.read("cards/epi-2mm.toml") == before);
}

TEST_CASE("a file that was changed meanwhile is not written over, and nothing typed is lost") {
    const SoundsDesk desk;
    const std::string page = desk.get("/sounds/card?id=epi-2mm").body;
    std::string other = desk.read("cards/epi-2mm.toml");
    other.replace(other.find("Echo planar, 2 mm"), 17, "Somebody else's");
    desk.write("cards/epi-2mm.toml", other);
    const desk::Reply reply =
        desk.post("/sounds/card", card_form(page, {{"do", "save"}, {"title", "Mine"}}));
    CHECK(reply.status == 409);
    CHECK(has(reply.body, "value=\"Mine\""));
    CHECK(has(SoundsDesk::wrong_at(reply.body, "title"), "Somebody else&#39;s"));
    CHECK(desk.read("cards/epi-2mm.toml") == other);
    CHECK(desk.post("/sounds/card", card_form(reply.body, {{"do", "save"}, {"title", "Mine"}}))
              .status == 303);
    CHECK(has(desk.read("cards/epi-2mm.toml"), "title = \"Mine\""));
}

TEST_CASE("a card that a plan could not be read with any more is not saved") {
    const SoundsDesk desk;
    desk.write("cards/like.toml",
               "kind = \"sequence\"\nformat = 1\nid = \"like\"\n[levels]\nLAeq = 90\n"
               "spectrum_like = \"epi-2mm\"\n");
    const std::string page = desk.get("/sounds/card?id=epi-2mm").body;
    DeskFixture::Fields without = {{"do", "save"}};
    for (const std::string_view band : octave_band_names)
        without.emplace_back("levels.octave." + std::string(band), "");
    const desk::Reply reply = desk.post("/sounds/card", card_form(page, without));
    CHECK(reply.status == 422);
    CHECK(has(reply.body, "A plan that uses it would no longer be read"));
}

TEST_CASE("a card from a label and a level is written as every new card, and is read back") {
    const SoundsDesk desk;
    const desk::Reply reply = desk.post("/sounds/new", {{"do", "save"},
                                                        {"id", "leaflet"},
                                                        {"title", "From <b>the leaflet</b>"},
                                                        {"levels.LAeq", "101"},
                                                        {"origin.how", "declared"}});
    REQUIRE(reply.status == 303);
    const std::string page = desk.get(DeskFixture::leads_to(reply)).body;
    CHECK(has(page, "From &lt;b&gt;the leaflet"));
    CHECK_FALSE(has(page, "<b>the leaflet"));
    CHECK(has(desk.read("cards/leaflet.toml"), "LAeq = 101.0"));
    CHECK(has(desk.read("cards/leaflet.toml"), "how = \"declared\""));
    // The id is taken now.
    const desk::Reply again =
        desk.post("/sounds/new", {{"do", "save"}, {"id", "leaflet"}, {"levels.LAeq", "99"}});
    CHECK(again.status == 422);
    CHECK(has(SoundsDesk::wrong_at(again.body, "id"), "is also the id of"));
    // No folder but one of the list.
    const desk::Reply elsewhere =
        desk.post("/sounds/new",
                  {{"do", "save"}, {"id", "../../up"}, {"levels.LAeq", "99"}, {"folder", "../.."}});
    CHECK(elsewhere.status == 303);
    CHECK_FALSE(std::filesystem::exists(desk.path("up.toml")));
    CHECK(has(DeskFixture::leads_to(elsewhere), "file=cards%2F"));
}

TEST_CASE("one file that cannot be read hides no other") {
    const SoundsDesk desk;
    desk.write("cards/broken.toml", "kind = \"sequence\"\nformat = 1\nid = \"<i>x\"\n[levels]\n");
    const desk::Reply reply = desk.get("/sounds");
    CHECK(reply.status == 200);
    CHECK(has(reply.body, "What cannot be read"));
    CHECK(has(reply.body, "/sounds/card?id=epi-2mm"));
    CHECK_FALSE(has(reply.body, "<i>x"));
    CHECK(desk.get("/sounds/card?id=epi-2mm").status == 200);
}
