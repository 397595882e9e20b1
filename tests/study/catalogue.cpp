#include "earbudget/study/catalogue.hpp"
#include "report/words/words.hpp"

#include <string>

#include <doctest/doctest.h>

using namespace earbudget;

namespace {

Catalogue two_plugs_and_two_earmuffs() {
    Catalogue catalogue;
    for (const char* id : {"muff", "foam", "band", "shell"}) {
        const std::string name = id;
        const bool earmuff = name == "muff" || name == "shell";
        catalogue.protectors.push_back(
            {{.id = name,
              .title = "Invented " + name,
              .type = earmuff ? ProtectorType::Earmuff : ProtectorType::PremouldedPlug}});
    }
    return catalogue;
}

}  // namespace

TEST_CASE("a pair is named plug first, in whatever order it is stated") {
    const Catalogue catalogue = two_plugs_and_two_earmuffs();
    const std::string name = "Invented foam (foam) under Invented muff (muff)";
    CHECK(names_of(catalogue, std::vector<std::string>{"foam", "muff"}) == name);
    CHECK(names_of(catalogue, std::vector<std::string>{"muff", "foam"}) == name);
    CHECK(names_of(catalogue, std::vector<std::string>{"band"}) == "Invented band (band)");
    CHECK(names_of(catalogue, std::vector<std::string>{}) == "nothing worn");
}

TEST_CASE("no canal cap goes under an earmuff") {
    Catalogue catalogue = two_plugs_and_two_earmuffs();
    CHECK(cannot_be_worn_together(catalogue, std::vector<std::string>{"band", "muff"}).empty());
    catalogue.protectors[2].protector.type = ProtectorType::CanalCap;
    for (const auto& worn :
         {std::vector<std::string>{"band", "muff"}, std::vector<std::string>{"shell", "band"}}) {
        const std::string obstacle = text_of(cannot_be_worn_together(catalogue, worn));
        CHECK(obstacle.find("a canal cap under an earmuff") == 0);
        CHECK(obstacle.find("accepted: a plug and an earmuff") != std::string::npos);
    }
    using Sets = std::vector<std::vector<std::string>>;
    CHECK(wearable_sets(catalogue) ==
          Sets{{"muff"}, {"foam"}, {"band"}, {"shell"}, {"foam", "muff"}, {"foam", "shell"}});
    CHECK(wearable_numbers(catalogue).sets() == wearable_sets(catalogue).size());
}

TEST_CASE("what can be worn: everything alone, then every plug under every earmuff") {
    const Catalogue catalogue = two_plugs_and_two_earmuffs();
    using Sets = std::vector<std::vector<std::string>>;
    CHECK(wearable_sets(catalogue) == Sets{{"muff"},
                                           {"foam"},
                                           {"band"},
                                           {"shell"},
                                           {"foam", "muff"},
                                           {"foam", "shell"},
                                           {"band", "muff"},
                                           {"band", "shell"}});
    CHECK(wearable_numbers(catalogue).sets() == wearable_sets(catalogue).size());
    const auto no_shell = [](const Protector& protector) { return protector.id != "shell"; };
    CHECK(wearable_sets(catalogue, no_shell) ==
          Sets{{"muff"}, {"foam"}, {"band"}, {"foam", "muff"}, {"band", "muff"}});
    CHECK(wearable_sets({}).empty());
    CHECK(wearable_numbers({}).sets() == 0);
}
