// A catalogue of protectors on pages of the desk.
#include "support/sounds_desk.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

DeskFixture::Fields protector_form(const std::string& page, DeskFixture::Fields more) {
    more.insert(more.begin(), {{"protector", SoundsDesk::hidden_in(page, "protector")},
                               {"file", SoundsDesk::hidden_in(page, "file")},
                               {"was", SoundsDesk::hidden_in(page, "was")}});
    return more;
}

}  // namespace

TEST_CASE("a protector is shown with its bands, and the ratings that `ratings` computes") {
    const SoundsDesk desk;
    const std::string page = desk.get("/sounds/protector?id=muff-slim").body;
    const auto told = desk.told({"ratings", "protectors.toml", "--format=json"});
    const auto& last = told["protectors"].back();
    REQUIRE(last["id"] == "muff-slim");
    REQUIRE(last["computed"].size() == 5);
    for (const auto& [name, value] : last["computed"].items())
        CHECK_MESSAGE(has(page, fmt::format("{:.1f}", value.get<double>())), name);
    CHECK(has(page, "data-series=\"mean\""));
    CHECK(has(desk.get("/sounds/ratings").body, "more than 2 dB"));
    CHECK(desk.get("/sounds/protector?id=plan.toml").status == 422);
    CHECK(desk.get("/sounds/ratings?file=/etc/passwd").status == 422);
}

TEST_CASE("bands and ratings of a protector are changed in place, comments kept") {
    const SoundsDesk desk;
    const std::string before = desk.read("protectors.toml");
    const std::string page = desk.get("/sounds/protector?id=muff-slim").body;
    const desk::Reply saved = desk.post(
        "/sounds/protector",
        protector_form(page, {{"do", "save"}, {"SNR", "27"}, {"mean-63", "12.5"}, {"canal", ""}}));
    REQUIRE(saved.status == 303);
    const std::string now = desk.read("protectors.toml");
    CHECK(has(now, "# Invented protectors"));
    CHECK(has(now, "mean = [12.5, 11.8, 16.9"));
    CHECK(now.substr(0, now.find("[[protector]]\nid = \"muff-slim\"")) ==
          before.substr(0, before.find("[[protector]]\nid = \"muff-slim\"")));
    CHECK(has(desk.get("/sounds/protector?id=muff-slim").body, "value=\"27\""));
}

TEST_CASE("a mistake of a band stands at that band") {
    const SoundsDesk desk;
    const std::string before = desk.read("protectors.toml");
    const std::string page = desk.get("/sounds/protector?id=muff-slim").body;
    const auto wrong = [&](const char* field, const char* value) {
        const desk::Reply reply =
            desk.post("/sounds/protector", protector_form(page, {{"do", "save"}, {field, value}}));
        CHECK(reply.status == 422);
        return SoundsDesk::wrong_at(reply.body, field);
    };
    CHECK(has(wrong("mean-63", "many"), "no number"));
    CHECK(has(wrong("sd-1000", "99"), "30"));
    CHECK(has(wrong("mean-4000", ""), "mean and sd"));
    CHECK(has(wrong("SNR", "120"), "80"));
    CHECK(desk.read("protectors.toml") == before);
}

TEST_CASE("a protector is added and taken out; one that a plan needs stays") {
    const SoundsDesk desk;
    const desk::Reply added = desk.post("/sounds/protector/new", {{"do", "save"},
                                                                  {"file", "protectors.toml"},
                                                                  {"id", "new-plug"},
                                                                  {"type", "foam-plug"},
                                                                  {"SNR", "30"}});
    REQUIRE(added.status == 303);
    CHECK(has(desk.read("protectors.toml"), "id = \"new-plug\""));
    const std::string page = desk.get("/sounds/protector?id=new-plug").body;
    CHECK(desk.post("/sounds/protector", protector_form(page, {{"do", "remove"}})).status == 303);
    CHECK_FALSE(has(desk.read("protectors.toml"), "new-plug"));
    const std::string needed = desk.get("/sounds/protector?id=formable").body;
    const desk::Reply kept =
        desk.post("/sounds/protector", protector_form(needed, {{"do", "remove"}}));
    CHECK(kept.status == 422);
    CHECK(has(kept.body, "would no longer be read"));
    CHECK(has(desk.read("protectors.toml"), "id = \"formable\""));
}
