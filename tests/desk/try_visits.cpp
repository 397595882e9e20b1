// "Try it" of a study of visits.
#include "desk/try_visits.hpp"

#include <fstream>

#include "support/try_desk.hpp"

using namespace earbudget;
using namespace earbudget::test;
using desk::trying::VisitsForm;

namespace {

const std::string study_text =
    "# three visits\nkind = \"study\"\nformat = 1\ntitle = \"Night vision in three visits\"\n"
    "[[visit]]  # first\nplan = \"plan.toml\"\ntimes = 2\n[[visit]]\nplan = \"short.toml\"\n"
    "days_apart = 7\n";

/// A desk with a study of two plans.
class StudyDesk : public DeskFixture {
  public:
    StudyDesk() {
        std::string plan = content_of(path("studies/plan.toml"));
        plan.replace(plan.find("repeat = 3"), 10, "repeat = 1");
        std::ofstream(path("studies/short.toml")) << plan;
        std::ofstream(study()) << study_text;
    }

    [[nodiscard]] std::string study() const { return path("studies/study.toml"); }
    [[nodiscard]] VisitsForm form() const {
        return desk::trying::visits_in_file(files::parse_toml(content_of(study()), study()), 0);
    }
    [[nodiscard]] desk::Reply send(const VisitsForm& form, const Fields& also) const {
        Fields fields = {{"plan", "study.toml"},
                         {"sha256", files::sha256_of_text(content_of(study()))}};
        for (const auto& some : {fields_of(form), also})
            fields.insert(fields.end(), some.begin(), some.end());
        return post("/try", fields);
    }
};

}  // namespace

TEST_CASE("visits of a study are shown, answered as assess answers, and saved") {
    const StudyDesk desk;
    const std::string page = desk.get("/try?plan=study.toml").body;
    for (const char* words : {"name=\"v0.times\"", "value=\"7\"", "Night vision in three visits",
                              "Nothing is changed", "Over a limit", "Hand out"})
        CHECK_MESSAGE(holds(page, words), words);
    VisitsForm form = desk.form();
    form.rows[0].times = "";
    form.rows[1].apart = "2";
    press("like", "v1", form);
    press("up", "v1", form);
    const desk::Reply json = desk.send(form, {{"do", "json"}});
    REQUIRE(json.status == 200);
    CHECK(holds(desk.send(form, {}).body, "this trial"));
    CHECK(DeskFixture::leads_to(desk.send(form, {{"do", "save"}})) ==
          "/try?plan=study.toml&saved=1");
    CHECK(content_of(desk.study()) ==
          "# three visits\nkind = \"study\"\nformat = 1\ntitle = \"Night vision in three visits\"\n"
          "[[visit]]\nplan = \"short.toml\"\ndays_apart = 2\n[[visit]]  # first\n"
          "plan = \"plan.toml\"\n[[visit]]\nplan = \"short.toml\"\ndays_apart = 2\n");
    CHECK(run_short({"assess", "--format", "json", desk.study()}).output == json.body);
}

TEST_CASE("what is impossible in a study is said at its visit") {
    const StudyDesk desk;
    VisitsForm form = desk.form();
    form.rows[1].apart = "often";
    form.rows[0].plan = "plam.toml";
    const std::string page = desk.send(form, {}).body;
    CHECK(holds(TryDesk::wrong_at(page, "v1.apart"), "accepted"));
    CHECK(holds(TryDesk::wrong_at(page, "v0.plan"), "the nearest there is"));
    CHECK(holds(page, "the answer to what could be computed last"));
    CHECK(content_of(desk.study()) == study_text);
}
