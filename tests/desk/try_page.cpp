// "Try it": a plan changed in a form, answered by the code of the command line, and saved.
#include <fstream>

#include "desk/try_edits.hpp"
#include "desk/try_form.hpp"
#include "editing/edit.hpp"
#include "support/try_desk.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("the page shows every row and person of the plan, and the answer beside them") {
    const TryDesk desk;
    const std::string page = desk.get("/try?plan=plan.toml").body;
    for (const char* words :
         {"name=\"r0.sequence\"", "value=\"8 min 30 s\"", "name=\"r3.repeat\"", "value=\"pilot-b\"",
          "Hand out instead: Slim earmuff", "Nothing is changed against the file", "<svg",
          "name=\"p3.task-1\"", "value=\"15 min\"", "Over a limit"})
        CHECK_MESSAGE(holds(page, words), words);
    CHECK(page.size() < 150'000);
}

TEST_CASE("a form that is sent as it came changes nothing, whatever the plan says") {
    TryDesk desk;
    std::string text = desk.original;
    text.replace(text.find("derating = \"none\""), 17, "derating = { dB = 4.0 }");
    text.replace(text.find("wears = [\"formable\"]"), 20,
                 "wears = [ \"muff-slim\" , # over\n'formable' ]\nworn = 0.90");
    for (const std::string& plan : {desk.original, text}) {
        std::ofstream(desk.plan()) << plan;
        const std::string page = desk.get("/try?plan=plan.toml").body;
        const std::string again = desk.post("/try", TryDesk::fields_in(page)).body;
        CHECK(holds(again, "Nothing is changed against the file"));
        // What is kept of the last good answer has the limits in the order of the boxes.
        const auto sent = [](const std::string& markup) {
            auto fields = TryDesk::fields_in(markup);
            std::erase_if(fields, [](const auto& field) { return field.first == "good"; });
            return desk::trying::packed(fields);
        };
        CHECK(sent(again) == sent(page));
    }
}

TEST_CASE("of a plan with very many rows and people a page shows some, and changes those alone") {
    TryDesk desk;
    std::string text = desk.original;
    std::string rows;
    for (int n = 0; n < 200; ++n)
        rows += "[[timeline]]\nsequence = \"localiser\"\nduration = \"" + std::to_string(n + 1) +
                " s\"\n";
    for (int n = 0; n < 30; ++n)
        rows += "[[person]]\nid = \"more-" + std::to_string(n) +
                "\"\nrole = \"participant\"\nwears = [\"muff-wide\"]\nvisits = " +
                std::to_string(n + 1) + "\n";
    text.insert(text.find("[[person]]"), rows);
    std::ofstream(desk.plan()) << text;
    const std::string page = desk.get("/try?plan=plan.toml&row=50&person=20").body;
    // Styles and scripts come to some 30 kB.
    CHECK(page.size() < 120'000);
    CHECK(holds(page, "Entries 51 to 80 of 209"));
    CHECK(holds(page, "People 21 to 28 of 34"));
    auto fields = TryDesk::fields_in(page);
    fields.emplace_back("remove", "r60");
    const auto changed = TryDesk::fields_in(desk.post("/try", fields).body);
    auto save = changed;
    save.emplace_back("do", "save");
    CHECK(!DeskFixture::leads_to(desk.post("/try", save)).empty());
    const std::string gone = "[[timeline]]\nsequence = \"localiser\"\nduration = \"52 s\"\n";
    std::string expected = text;
    expected.erase(expected.find(gone), gone.size());
    CHECK(content_of(desk.plan()) == expected);
}

TEST_CASE("what no file can hold is refused like any other text") {
    const TryDesk desk;
    for (const char* const worn : {"inf", "nan", "-inf", "1e999", "0,5", "\xFF", "true"}) {
        auto form = desk.form();
        form.people[0].worn = worn;
        const desk::Reply reply = desk.send(form);
        CHECK(reply.status == 200);
        CHECK(holds(reply.body, "cannot be computed"));
        CHECK(holds(desk.send(form, {{"do", "json"}}).body, "accepted"));
    }
    auto form = desk.form();
    form.people[0].id = std::string("a\0b", 3);
    CHECK(holds(desk.send(form).body, "cannot be computed"));
}

TEST_CASE("a rest right after a run stands beside it") {
    const TryDesk desk;
    const desk::trying::TrialForm form = desk.form();
    REQUIRE(form.rows.size() == 6);
    CHECK(form.rows[1].sequence == "gre-3d");
    CHECK(form.rows[1].rest == "1 min");
    CHECK(form.rows[2].repeat == "3");
    CHECK(form.rows[5].rest.empty());
}

TEST_CASE("a change is answered, and compared with the file") {
    const TryDesk desk;
    auto form = desk.form();
    form.people[1].wears[0] = "muff-slim";
    const std::string page = desk.send(form).body;
    CHECK(holds(page, "Within every limit"));
    CHECK(!holds(page, "Over a limit</bdi></span>: <bdi>pilot-b"));
    CHECK(holds(page, "What changed") == false);
    CHECK(holds(page, "over a limit before"));
    CHECK(content_of(desk.plan()) == desk.original);
}

TEST_CASE("advice is done by its button, and the form comes with it") {
    const TryDesk desk;
    std::string page = desk.get("/try?plan=plan.toml").body;
    const std::string changes = desk.button(page, "Wear muff-slim");
    REQUIRE(!changes.empty());
    page = desk.send(desk.form(), {{"apply", changes}}).body;
    CHECK(holds(page, "<option value=\"muff-slim\" selected>"));
    CHECK(!holds(page, "<bdi>Over a limit</bdi>"));
    // Left out, since nothing shorter is worth running.
    const auto before = desk.form();
    page = desk.get("/try?plan=plan.toml").body;
    const std::string drop = desk.button(page, "Leave out epi-2mm");
    REQUIRE(drop == "drop=r3");
    page = desk.send(before, {{"apply", drop}}).body;
    CHECK(!holds(page, "name=\"r3.sequence\""));
    CHECK(!holds(page, "<bdi>Over a limit</bdi>"));
}

TEST_CASE("rows are moved, removed and added by buttons") {
    const TryDesk desk;
    const auto order = [](const std::string& page) {
        std::string keys;
        for (std::size_t at = page.find("name=\"row\" value=\""); at != page.npos;
             at = page.find("name=\"row\" value=\"", at + 1))
            keys += page.substr(at + 18, page.find('"', at + 18) - at - 18) + " ";
        return keys;
    };
    CHECK(order(desk.send(desk.form()).body) == "r0 r1 r3 r5 r6 r8 ");
    CHECK(order(desk.send(desk.form(), {{"up", "r3"}}).body) == "r0 r3 r1 r5 r6 r8 ");
    CHECK(order(desk.send(desk.form(), {{"down", "r8"}}).body) == "r0 r1 r3 r5 r6 r8 ");
    CHECK(order(desk.send(desk.form(), {{"remove", "r0"}}).body) == "r1 r3 r5 r6 r8 ");
    CHECK(order(desk.send(desk.form(), {{"add", "row"}}).body) == "r0 r1 r3 r5 r6 r8 rn0 ");
    const std::string more = desk.send(desk.form(), {{"like", "p3"}}).body;
    CHECK(holds(more, "value=\"operator-2\""));
    CHECK(holds(more, "name=\"pn0.task-1\""));
}

TEST_CASE("what is impossible is said at its field, and the last good answer stays, marked") {
    const TryDesk desk;
    auto form = desk.form();
    form.rows[1].duration = "soon";
    const std::string good = desk::trying::packed(fields_of(desk.form()));
    const std::string page = desk.send(form, {{"good", good}}).body;
    const std::string wrong = desk.wrong_at(page, "r1.duration");
    CHECK(holds(wrong, "soon"));
    CHECK(holds(wrong, "accepted"));
    CHECK(holds(page, "value=\"soon\""));
    CHECK(holds(page, "the answer to what could be computed last"));
    CHECK(holds(page, "Answer before"));
    CHECK(holds(page, "Hand out instead: Slim earmuff"));
    CHECK(desk.wrong_at(page, "r3.duration").empty());
    form = desk.form();
    form.people[1].wears[0] = "no such plug";
    form.people[2].sessions = "many";
    form.rows[2].repeat = "0";
    form.policy.accepted = "200";
    form.people[3].tasks[1].duration = "-1 min";
    const std::string several = desk.send(form).body;
    for (const char* field :
         {"p1.wears", "p2.sessions", "r3.repeat", "policy.accepted", "p3.task-1"})
        CHECK_MESSAGE(holds(desk.wrong_at(several, field), "accepted"), field);
}

TEST_CASE("while somebody types only what changes comes back") {
    const TryDesk desk;
    const desk::Reply reply = desk.send(desk.form(), {}, true);
    CHECK(holds(reply.body, "data-part=\"answer\""));
    CHECK(holds(reply.body, "data-part=\"wrong r0.duration\""));
    CHECK(!holds(reply.body, "name=\"r0.duration\""));
    CHECK(holds(desk.send(desk.form(), {{"up", "r3"}}, true).body, "name=\"r0.duration\""));
}

TEST_CASE("two trials are compared, one of them kept in the form") {
    const TryDesk desk;
    auto form = desk.form();
    form.rows[2].repeat = "2";
    const std::string kept = desk::trying::packed(fields_of(form));
    const std::string first = desk.send(form, {{"keep", "trial"}}).body;
    CHECK(holds(first, "name=\"kept\" value=\""));
    form.rows[2].repeat = "1";
    const std::string second = desk.send(form, {{"kept", kept}}).body;
    CHECK(holds(second, "the trial kept"));
    CHECK(holds(second, "epi-2mm: 24 min before, 12 min now"));
    CHECK(holds(desk.send(form, {{"kept", kept}, {"forget", "trial"}}).body, "as in the file"));
}

TEST_CASE("only the values that changed are saved, with every comment, and nothing twice") {
    const TryDesk desk;
    auto form = desk.form();
    form.rows[2].repeat = "2";
    const desk::Reply reply = desk.send(form, {{"do", "save"}});
    CHECK(desk.leads_to(reply) == "/try?plan=plan.toml&saved=1");
    std::string expected = desk.original;
    expected.replace(expected.find("repeat = 3"), 10, "repeat = 2");
    CHECK(content_of(desk.plan()) == expected);
    // The form is of the text before, which is not there any more.
    const desk::Reply again = desk.send(form, {{"do", "save"}});
    CHECK(again.status == 409);
    CHECK(content_of(desk.plan()) == expected);
    CHECK(desk.send(form).status == 409);
}

TEST_CASE("a new file is saved beside the plan, never over another and nowhere else") {
    const TryDesk desk;
    auto form = desk.form();
    form.rows[0].duration = "40 s";
    for (const char* name : {"", "plan.toml", "../x.toml", "cards/x.toml", ".x.toml", "x.txt", "x",
                             "/tmp/x.toml", "a\nb.toml", "x\\y.toml"}) {
        CAPTURE(name);
        const desk::Reply reply = desk.send(form, {{"do", "save-new"}, {"new-name", name}});
        CHECK(desk.leads_to(reply).empty());
        CHECK(holds(reply.body, "Nothing was saved"));
    }
    const desk::Reply reply = desk.send(form, {{"do", "save-new"}, {"new-name", "plan 2.toml"}});
    CHECK(desk.leads_to(reply) == "/try?plan=plan%202.toml&saved=1");
    const std::string saved = content_of(desk.path("studies/plan 2.toml"));
    CHECK(holds(saved, "duration = \"40 s\""));
    CHECK(holds(saved, "# narrow ear canals: only the smaller plug fits"));
    CHECK(content_of(desk.plan()) == desk.original);
    CHECK(run_short({"assess", desk.path("studies/plan 2.toml")}).status == 1);
    // What cannot be computed is not saved.
    form.rows[0].duration = "";
    const desk::Reply bad = desk.send(form, {{"do", "save"}});
    CHECK(holds(bad.body, "Nothing was saved"));
    CHECK(content_of(desk.plan()) == desk.original);
}

TEST_CASE("what was of a value goes with it: where a duration was found, a fit test") {
    TryDesk desk;
    std::string text = desk.original;
    text.replace(text.find("[\"flanged-small\"]"), 17, "[\"flanged-small\"]\nPAR = 15.0");
    text.replace(text.find("duration = \"6 min\""), 18,
                 "duration = \"6 min\"\nduration_from = \"stated\"");
    std::ofstream(desk.plan()) << text;
    desk.opened_anew();
    auto form = desk.form();
    form.people[1].wears[0] = "muff-slim";
    form.rows[1].duration = "5 min";
    CHECK(!desk.leads_to(desk.send(form, {{"do", "save"}})).empty());
    const std::string saved = content_of(desk.plan());
    CHECK(!holds(saved, "PAR"));
    CHECK(!holds(saved, "duration_from"));
    std::ofstream(desk.plan()) << text;
    desk.opened_anew();
    form = desk.form();
    form.people[1].sessions = "2";
    CHECK(!desk.leads_to(desk.send(form, {{"do", "save"}})).empty());
    CHECK(holds(content_of(desk.plan()), "PAR = 15.0"));
}

TEST_CASE("whatever a browser sends is refused or answered, and never opens another file") {
    const TryDesk desk;
    CHECK(desk.post("/try", {}).status == 422);
    CHECK(desk.post("/try", {{"plan", "../plan.toml"}}).status == 422);
    CHECK(desk.post("/try", {{"plan", "plan.toml"}}).status == 409);
    DeskFixture::Fields fields = {{"plan", "plan.toml"}, {"sha256", desk.sha256()}};
    // No row at all, entries that are not there, the same one twice.
    CHECK(holds(desk.post("/try", fields).body, "cannot be computed"));
    for (const char* const index : {"0", "5", "18446744073709551615", "-1", "x"}) {
        fields.emplace_back("row", "<b>");
        fields.emplace_back("<b>.from", index);
        fields.emplace_back("person", "\"");
        fields.emplace_back("\".from", index);
        fields.emplace_back("\".task", index);
    }
    const desk::Reply reply = desk.post("/try", fields);
    CHECK(reply.status == 200);
    CHECK(!holds(reply.body, "<b>"));
    // More than any page has is refused at once.
    auto form = desk.form();
    for (int n = 0; n < 250; ++n)
        press("add", "row", form);
    CHECK(desk.send(form).status == 422);
    CHECK(content_of(desk.plan()) == desk.original);
}

TEST_CASE("a plan whose cards lie outside of the desk's folder is refused at its key") {
    const TryDesk desk;
    std::string text = desk.original;
    std::filesystem::rename(desk.path("studies/cards"), desk.path("cards"));
    text.replace(text.find("\"cards\""), 7, "\"../cards\"");
    std::ofstream(desk.plan()) << text;
    const std::string page = desk.get("/try?plan=plan.toml").body;
    CHECK(holds(page, "outside of the folder"));
    CHECK(holds(page, "plan.toml:5:"));
}
