// DGUV Information 212-024, annex 1 (methods from EN 458): the peak under a protector is
// LpC,peak − (M − Ks), in low-frequency noise LpC,peak − (L − Ks − 5); Ks is the practice deduction
// of TRLV Lärm part 3: formable plugs 9 dB, reusable plugs, banded plugs and earmuffs 5 dB, custom
// plugs with function check 3 dB (both read). The numbers below follow from the formula.
#include <doctest/doctest.h>

#include "earbudget/protection/worn.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

AttenuationData labelled(ProtectorType type, double H, double M, double L) {
    return {.type = type,
            .ratings = {.H = LevelDifference(H), .M = LevelDifference(M), .L = LevelDifference(L)}};
}

double peak_under(const AttenuationData& worn, std::optional<bool> low_frequency) {
    return 150.0 - peak_reduction(worn, low_frequency).value().reduction.dB();
}

}  // namespace

TEST_CASE("LpC,peak − (M − Ks), in low-frequency noise LpC,peak − (L − Ks − 5)") {
    struct Row {
        ProtectorType type;
        double usual;
        double low;
    };
    for (const Row& row :
         {Row{ProtectorType::FoamPlug, 135.0, 144.0},
          Row{ProtectorType::PremouldedPlug, 131.0, 140.0},
          Row{ProtectorType::CanalCap, 131.0, 140.0}, Row{ProtectorType::Earmuff, 131.0, 140.0},
          Row{ProtectorType::CustomPlug, 129.0, 138.0}}) {
        CAPTURE(name_of(row.type));
        const AttenuationData worn = labelled(row.type, 30.0, 24.0, 20.0);
        CHECK(near(peak_under(worn, false), row.usual, 1e-9, Because::Arithmetic));
        CHECK(near(peak_under(worn, true), row.low, 1e-9, Because::Arithmetic));
        // Where nothing is stated the higher level of both.
        CHECK(near(peak_under(worn, std::nullopt), row.low, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("no peak is higher under a protector than outside") {
    const AttenuationData thin = labelled(ProtectorType::FoamPlug, 20.0, 15.0, 10.0);
    CHECK(near(peak_under(thin, false), 144.0, 1e-9, Because::Arithmetic));
    CHECK(peak_under(thin, true) == 150.0);  // 10 − 9 − 5 = −4 dB
    CHECK(peak_reduction(thin, true)->reduction.dB() == 0.0);
}

TEST_CASE("the method is for one protector with H, M and L, stated or computed") {
    AttenuationData pair = labelled(ProtectorType::FoamPlug, 30.0, 24.0, 20.0);
    pair.type = std::nullopt;
    CHECK(!peak_reduction(pair, false));
    AttenuationData label{.type = ProtectorType::Earmuff};
    label.ratings.SNR = LevelDifference(28.0);
    CHECK(!peak_reduction(label, false));
    // ISO 4869-2:2018, annexes A to C: H, M, L 24, 18, 13 (printed).
    const double mean[] = {7.4, 10.0, 14.4, 19.6, 22.8, 29.6, 38.8, 34.1};
    const double sd[] = {3.3, 3.6, 3.6, 4.6, 4.0, 6.2, 7.4, 5.2};
    label.octave.emplace();
    for (std::size_t i = 0; i < 8; ++i) {
        label.octave->set(octave_bands[index_of(OctaveBand::Hz63) + i], LevelDifference(mean[i]),
                          LevelDifference(sd[i]));
    }
    const auto computed = peak_reduction(label, false);
    REQUIRE(computed);
    CHECK(computed->from_octaves);
    CHECK(computed->M.dB() == 18.0);
    CHECK(near(computed->reduction.dB(), 13.0, 1e-9, Because::Arithmetic));
}
