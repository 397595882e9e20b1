// Ontario Ministry of Labour, noise guideline, appendix D: the octave-band method of CSA Z94.2
// with a mean attenuation less one standard deviation (seen).
#include <array>

#include <doctest/doctest.h>

#include "earbudget/protection/method_formulas.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

struct OntarioRow {
    OctaveBand band;
    double level;
    double mean;
    double sd;
    double printed_apv;
};

// Verbatim, 125 Hz to 8 kHz.
constexpr std::array<OntarioRow, 7> table = {{{OctaveBand::Hz125, 85, 12, 2.8, 9.2},
                                              {OctaveBand::Hz250, 88, 15, 3, 12},
                                              {OctaveBand::Hz500, 93, 20, 4, 16},
                                              {OctaveBand::Hz1000, 90, 26, 3.7, 22.3},
                                              {OctaveBand::Hz2000, 89, 31, 4.9, 26.1},
                                              {OctaveBand::Hz4000, 87, 37, 5.9, 31.1},
                                              {OctaveBand::Hz8000, 86, 35, 4, 31}}};

}  // namespace

TEST_CASE("Ontario, appendix D: assumed protection and 76.0 dB(A) at the ear") {
    OctaveLevelsZ sound;
    OctaveAttenuation attenuation;
    for (const OntarioRow& row : table) {
        sound.set(row.band, LevelZ(row.level));
        attenuation.set(row.band, LevelDifference(row.mean), LevelDifference(row.sd));
        CHECK(near(attenuation.assumed_protection_value(row.band, 1.0).dB(), row.printed_apv, 1e-9,
                   Because::Arithmetic));
    }
    CHECK(near(level_by_octave_bands(a_weighted(sound), attenuation, 1.0).dB(), 76.0, 0.05,
               Because::PrintedRounding));
}
