// A scanner's response as a file: what is written is read back, and what is wrong is named.
#include "responses/stored_response.hpp"

#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;
using responses::read_response;
using responses::StoredResponse;

namespace {

StoredResponse invented() {
    StoredResponse stored;
    stored.title = "A \"scanner\"";
    stored.scanner = "3 T";
    stored.response.bin_width = Frequency(48'000.0 / 16'384.0);
    stored.response.uncertainty.LAeq = LevelDifference(2.25);
    stored.response.uncertainty.third_octave[14] = LevelDifference(3.5);
    AxisResponse& x = stored.response.axes[0];
    x.driven = true;
    x.lines.resize(6'000);
    for (std::size_t k = 7; k < x.lines.size(); k += 3)
        x.lines[k] =
            ResponseLine{std::polar(0.001 * static_cast<double>(k), 0.37 * static_cast<double>(k)),
                         0.5 + 0.00008 * static_cast<double>(k)};
    stored.response.axes[1].driven = true;
    stored.response.axes[1].separable = false;
    stored.response.axes[1].time_base = 2;
    stored.origin.how = "estimated";
    stored.origin.subject = "phantom";
    stored.origin.recordings = {"a.wav of a.seq", "b.wav of b.seq"};
    stored.left_out = {{"a.wav", LevelDifference(-0.4)}, {"b.wav", std::nullopt}};
    stored.comparisons = {{"epi-2mm", "2026-11-02", LevelDifference(1.5), true}};
    return stored;
}

template <class Read>
std::string refused(const Read& read) {
    try {
        read();
    } catch (const std::exception& error) {
        return error.what();
    }
    return "";
}

StoredResponse read_back(const std::string& text) {
    const TemporaryFolder folder;
    files::TextInputs inputs;
    return read_response(folder.write("response.toml", text), inputs);
}

const std::string small =
    "kind = \"response\"\nformat = 1\nbin_width_Hz = 2.0\n[axis.x]\n"
    "frequency_Hz = [4.0, 6.0]\nmagnitude_Pa_per_T_per_m = [1.0, 2.0]\n"
    "phase_deg = [0.0, 90.0]\ncoherence = [1.0, 0.9]\n";

std::string with_change(const std::string& old, const std::string& fresh) {
    std::string text = small;
    const auto at = text.find(old);
    REQUIRE(at != text.npos);
    return text.replace(at, old.size(), fresh);
}

}  // namespace

TEST_CASE("a response that is written is read back") {
    const StoredResponse stored = invented();
    const StoredResponse back = read_back(written_response(stored));
    CHECK(back.title == stored.title);
    CHECK(back.scanner == "3 T");
    CHECK(back.origin.subject == "phantom");
    CHECK(back.origin.recordings == stored.origin.recordings);
    CHECK(back.response.uncertainty.LAeq == LevelDifference(2.25));
    CHECK(back.response.uncertainty.third_octave[14] == LevelDifference(3.5));
    CHECK_FALSE(back.response.uncertainty.third_octave[15]);
    CHECK(std::abs(back.response.bin_width.Hz() - stored.response.bin_width.Hz()) < 1e-7);
    CHECK_FALSE(back.response.axes[1].separable);
    CHECK(back.response.axes[1].time_base == 2);
    CHECK_FALSE(back.response.axes[2].driven);
    REQUIRE(back.response.axes[0].lines.size() == 5'999);
    for (std::size_t k = 0; k < 5'999; ++k) {
        const auto& one = stored.response.axes[0].lines[k];
        const auto& other = back.response.axes[0].lines[k];
        REQUIRE(one.has_value() == other.has_value());
        if (!one) continue;
        REQUIRE(std::abs(one->Pa_per_T_per_m - other->Pa_per_T_per_m) <
                0.001 * std::abs(one->Pa_per_T_per_m));
        REQUIRE(std::abs(one->coherence - other->coherence) < 0.00051);
    }
    REQUIRE(back.left_out.size() == 2);
    CHECK(back.left_out[0].LAeq_error == LevelDifference(-0.4));
    CHECK_FALSE(back.left_out[1].LAeq_error);
    REQUIRE(back.comparisons.size() == 1);
    CHECK(back.comparisons[0].sequence == "epi-2mm");
    CHECK(back.comparisons[0].inside);
}

TEST_CASE("mistakes in a response are named at their place") {
    const StoredResponse plain = read_back(small);
    CHECK(plain.response.axes[0].lines.size() == 4);
    CHECK(near(std::arg(plain.response.axes[0].lines[3]->Pa_per_T_per_m), std::numbers::pi / 2,
               1e-9, Because::Arithmetic));
    struct Wrong {
        std::string old, fresh, at, says;
    };
    const std::vector<Wrong> wrong = {
        {"[4.0, 6.0]", "[4.0, 7.0]", ":5:22: ", "no multiple"},
        {"[4.0, 6.0]", "[6.0, 4.0]", ":5:22: ", "rising"},
        {"[4.0, 6.0]", "[4.0]", ":6:", "has 2 values where \"frequency_Hz\" has 1"},
        {"coherence = [1.0, 0.9]", "coherence = [1.0, 1.9]", ":8:19: ", "from 0 to 1"},
        {"coherence = [1.0, 0.9]\n", "", ":5:", "has 0 values"},
        {"bin_width_Hz = 2.0\n", "", "", "bin_width_Hz"},
        {"[axis.x]", "[axis.u]", ":4:", "unknown key"},
        {"coherence = [1.0, 0.9]\n",
         "coherence = [1.0, 0.9]\n[[comparison]]\nwhen = \"2026-01-02\"\n", ":9:", "sequence"},
        {"kind = \"response\"", "kind = \"sequence\"", ":1:8: ", "earbudget review"},
    };
    for (const Wrong& each : wrong) {
        CAPTURE(each.fresh);
        const std::string refusal =
            refused([&] { static_cast<void>(read_back(with_change(each.old, each.fresh))); });
        CAPTURE(refusal);
        CHECK(refusal.find(each.at) != refusal.npos);
        CHECK(refusal.find(each.says) != refusal.npos);
        CHECK(refusal.find("accepted: ") != refusal.npos);
    }
}
