// What cards say of their uncertainty, and what of it is refused.
#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/study/sequence.hpp"
#include "files/study_files.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

Sequence card_with(const std::string& levels, const std::string& origin = "") {
    const TemporaryFolder folder;
    return files::read_sequence_card(
        folder.write("card.toml",
                     "kind = \"sequence\"\nformat = 1\nid = \"x\"\n[levels]\n"
                     "LAeq = 95.0\n" +
                         levels + origin));
}

std::string card_refusal(const std::string& levels, const std::string& origin = "") {
    try {
        static_cast<void>(card_with(levels, origin));
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

double default_of(const std::string& origin) {
    const auto found = stated_or_default_uncertainty(card_with("", origin));
    CHECK(found.is_default);
    CHECK(text_of(found.source).starts_with("default"));
    return found.whole.dB();
}

}  // namespace

TEST_CASE("parts give the uncertainty, or must agree with it") {
    const std::string parts =
        "[levels.uncertainty_parts]\ninstrument = 0.7\nposition = 1.0\nrun = 0.5\n";
    const double combined = std::sqrt(0.49 + 1.0 + 0.25);
    const Sequence card = card_with(parts);
    CHECK(near(card.levels.uncertainty->dB(), combined, 1e-12, Because::Arithmetic));
    CHECK(near(card.levels.uncertainty_parts->run.dB(), 0.5, 1e-12, Because::Arithmetic));
    CHECK(card_with("uncertainty = 1.4\n" + parts).levels.uncertainty->dB() == 1.4);
    const std::string refusal = card_refusal("uncertainty = 1.5\n" + parts);
    CHECK(refusal.find("1.32 dB") != std::string::npos);
    CHECK(refusal.find("1.50 dB") != std::string::npos);
    CHECK(refusal.find(":7:") != std::string::npos);
    CHECK(card_refusal("[levels.uncertainty_parts]\nruns = 0.5\n").find("\"run\"") !=
          std::string::npos);
    CHECK_FALSE(card_refusal("[levels.uncertainty_parts]\nrun = -0.5\n").empty());
    // And back.
    const TemporaryFolder folder;
    const Sequence back =
        files::read_sequence_card(folder.write("c.toml", files::write_sequence_card(card)));
    CHECK(
        near(back.levels.uncertainty_parts->combined().dB(), combined, 1e-9, Because::Arithmetic));
}

TEST_CASE("a card without uncertainty gets a default by how it came about") {
    const auto origin = [](const std::string& how, const std::string& rest = "") {
        return "[origin]\nhow = \"" + how + "\"\n" + rest;
    };
    const auto same = [](double a, double b) { return near(a, b, 1e-9, Because::Arithmetic); };
    CHECK(same(default_of(origin("measured", "instrument_class = 1\n")), std::hypot(0.7, 1.0)));
    CHECK(same(default_of(origin("measured", "instrument_class = 2\n")), std::hypot(1.5, 1.0)));
    CHECK(same(default_of(origin("measured")), std::hypot(1.5, 1.0)));
    CHECK(same(default_of(origin("entered")), 3.0));
    CHECK(same(default_of(origin("guessed")), 5.0));
    CHECK(same(default_of(""), 5.0));
    CHECK_FALSE(stated_or_default_uncertainty(card_with("uncertainty = 0.0\n")).is_default);
    CHECK(card_refusal("", origin("measured", "instrument_class = 3\n")).find(":8:") !=
          std::string::npos);
    CHECK(card_refusal("", origin("felt")).find("\"guessed\"") != std::string::npos);
}
