// A committee's review on a page of the desk.
#include "support/sounds_desk.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("the review of a card is the one that the command line makes, document and figures") {
    const SoundsDesk desk;
    const desk::Reply page = desk.get("/review?id=epi-2mm");
    REQUIRE(page.status == 200);
    const auto told = desk.told(
        {"review", "cards/epi-2mm.toml", "--protectors=protectors.toml", "--format=json"});
    const auto& review = told["sequences"][0];
    const auto text = review["recommendation"]["text"].get<std::string>();
    CHECK_MESSAGE(has(page.body, text), text);
    CHECK(has(page.body,
              fmt::format("LAeq {:.1f} dB(A)", review["levels"]["LAeq_dB"].get<double>())));
    CHECK_FALSE(has(page.body, "--detail"));
    CHECK(page.body.size() < 150'000);
    const std::string document =
        desk::run_child(
            desk.opened.program,
            {"review", "./cards/epi-2mm.toml", "--protectors=./protectors.toml", "--format=html"},
            desk.opened.folder)
            .output;
    CHECK(desk.get("/review/document?id=epi-2mm").body == document);
}

TEST_CASE("the terms of a review are a form, and what is wrong with them stands at its field") {
    const SoundsDesk desk;
    const desk::Reply staff = desk.get("/review?id=epi-2mm&for=staff&sessions-per-day=4");
    CHECK(staff.status == 200);
    CHECK(has(staff.body, "staff"));
    const desk::Reply wrong =
        desk.get("/review?id=epi-2mm&at-least=long&derating=much&sessions-per-day=2");
    CHECK(wrong.status == 422);
    CHECK(has(SoundsDesk::wrong_at(wrong.body, "at-least"), "It is"));
    CHECK(has(SoundsDesk::wrong_at(wrong.body, "derating"), "niosh"));
    CHECK(SoundsDesk::wrong_at(wrong.body, "sessions-per-day").empty());
}

TEST_CASE("a review against an earlier card says what changes") {
    const SoundsDesk desk;
    const desk::Reply reply = desk.get("/review?id=epi-2mm&against=cards%2Fepi-fast.toml");
    CHECK(reply.status == 200);
    CHECK(has(reply.body, "epi-fast"));
    CHECK(desk.get("/review?id=epi-2mm&against=../r.register").status == 422);
    CHECK(desk.get("/review?id=epi-2mm&protectors=/etc/passwd").status == 422);
}

TEST_CASE("no value of the form becomes an option or a file of the command line") {
    const SoundsDesk desk;
    const desk::Reply reply = desk.get("/review?id=epi-2mm&at-least=--output%3D" +
                                       serving::in_address(desk.path("out.html")) +
                                       "&criteria=--force&derating=--output");
    CHECK(reply.status == 422);
    CHECK_FALSE(std::filesystem::exists(desk.path("out.html")));
    CHECK_FALSE(desk.is_there("out.html"));
}
