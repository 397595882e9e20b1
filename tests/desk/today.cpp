// What the desk shows first.
#include <fstream>

#include "support/desk_fixture.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("today shows every study with the answer that assess gives, and where to go on") {
    const DeskFixture desk;
    const desk::Reply reply = desk.get("/");
    CHECK(reply.status == 200);
    for (const char* words :
         {"Harbour pilots&#39; night vision", "Hand out instead: Slim earmuff",
          "/session?plan=plan.toml", "/try?plan=plan.toml", "No session is open"})
        CHECK_MESSAGE(reply.body.find(words) != std::string::npos, words);
    CHECK(reply.body.size() < 150'000);
}

TEST_CASE("a plan that cannot be read is named with what is wrong, and the others are answered") {
    const DeskFixture desk;
    std::ofstream(desk.path("studies/other.toml")) << "kind = \"plan\"\ntitle = \"<b>Broken\"\n";
    const desk::Reply reply = desk.get("/");
    CHECK(reply.status == 200);
    CHECK(reply.body.find("&lt;b&gt;Broken") != std::string::npos);
    CHECK(reply.body.find("Cannot be answered") != std::string::npos);
    CHECK(reply.body.find("Hand out instead: Slim earmuff") != std::string::npos);
}

TEST_CASE("a change of a file is seen at the next look") {
    const DeskFixture desk;
    static_cast<void>(desk.get("/"));
    const std::string card = desk.path("studies/plan.toml");
    std::string text;
    {
        std::ifstream file(card);
        text.assign(std::istreambuf_iterator<char>(file), {});
    }
    const std::size_t title = text.find("Harbour pilots");
    REQUIRE(title != std::string::npos);
    std::ofstream(card) << text.replace(title, 14, "Estuary pilots");
    CHECK(desk.get("/").body.find("Estuary pilots") != std::string::npos);
    CHECK(desk.get("/report?plan=plan.toml").body.find("Estuary pilots") != std::string::npos);
}

TEST_CASE("metal at the magnet is told before every verdict, and an empty folder says what to do") {
    const DeskFixture desk;
    std::string text;
    {
        std::ifstream file(desk.path("studies/plan.toml"));
        text.assign(std::istreambuf_iterator<char>(file), {});
    }
    const std::size_t worn = text.find("wears = [\"formable\"]");
    REQUIRE(worn != std::string::npos);
    std::ofstream(desk.path("studies/plan.toml"))
        << text.replace(worn, 20, "wears = [\"muff-wide\"]");
    const std::string today = desk.get("/").body;
    REQUIRE(today.find("METAL") != std::string::npos);
    CHECK(today.find("METAL") < today.find("class=\"answers\""));
    CHECK(desk.get("/try?plan=plan.toml").body.find("METAL") != std::string::npos);
    std::filesystem::remove_all(desk.path("studies"));
    std::filesystem::create_directory(desk.path("studies"));
    CHECK(desk.get("/").body.find("There is no plan in this folder") != std::string::npos);
}

TEST_CASE("no path of a browser opens a file") {
    const DeskFixture desk;
    for (const char* plan : {"../r.register", "/etc/passwd", "cards/epi-2mm.toml", "",
                             "plan.toml%00", "./plan.toml", "protectors.toml"}) {
        const desk::Reply reply = desk.get(std::string("/report?plan=") + plan);
        CHECK_MESSAGE(reply.status == 422, plan);
    }
    CHECK(desk.get("/nothing").status == 404);
    CHECK(desk.get("/desk/../plan.toml").status == 404);
}

TEST_CASE("a plan that refers to what lies outside of the folder is not followed there") {
    const DeskFixture desk;
    std::ofstream(desk.path("secret.toml")) << "kind = \"protectors\"\n";
    std::string text;
    {
        std::ifstream file(desk.path("studies/plan.toml"));
        text.assign(std::istreambuf_iterator<char>(file), {});
    }
    const std::size_t named = text.find("\"protectors.toml\"");
    REQUIRE(named != std::string::npos);
    std::ofstream(desk.path("studies/plan.toml")) << text.replace(named, 17, "\"../secret.toml\"");
    const desk::Reply reply = desk.get("/report?plan=plan.toml");
    CHECK(reply.status == 422);
    CHECK(reply.body.find("outside") != std::string::npos);
}
