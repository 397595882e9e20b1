// Mistakes that the types must refuse: every marked line must not compile, nothing else may fail.
// Without MISTAKES only what is right is left, and that must compile.
#include <optional>
#include <vector>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/exposure/dose.hpp"
#include "earbudget/exposure/limit.hpp"
#include "earbudget/measurement/calibration/calibration.hpp"
#include "earbudget/protection/method_formulas.hpp"

using namespace earbudget;

[[maybe_unused]] static void mistake() {
    [[maybe_unused]] const LevelA LA(85.0);
    [[maybe_unused]] const LevelC LC(87.0);
    [[maybe_unused]] const PeakLevelC peak(130.0);
    [[maybe_unused]] const LevelDifference step(3.0);
    const LevelA louder = LA + step;
    const LevelDifference apart = louder - LA;
    const LevelDifference spread = c_minus_a(LC, LA);
    static_cast<void>(apart + spread);
    static_cast<void>(level_by_snr(LC, LevelDifference(30.0)));
    static_assert(accumulation_of(ExposureQuantity::LEX_8h) == Accumulation::Sum);
    static_assert(accumulation_of(ExposureQuantity::LAeq_1h) == Accumulation::HighestHour);
#ifdef MISTAKES
    static_cast<void>(LA + LA);  // MUST FAIL: levels do not add, energy_sum says what is meant
    static_cast<void>(LC - LA);  // MUST FAIL: different weightings, c_minus_a says what is meant
    {
        [[maybe_unused]] const LevelA wrong =
            LC;  // MUST FAIL: a C-weighted level is no A-weighted one
    }
    static_cast<void>(LA < LC);                                  // MUST FAIL: not comparable
    static_cast<void>(level_by_snr(LA, LevelDifference(30.0)));  // MUST FAIL: SNR takes LC
    static_cast<void>(level_by_snr(LC, LC));  // MUST FAIL: a rating is a difference, not a level
    static_cast<void>(peak - LC);             // MUST FAIL: a peak is no average
    {
        const std::vector<PeakLevelC> peaks = {peak, peak};
        static_cast<void>(energy_sum<quantity::CWeightedPeak>(peaks));  // MUST FAIL: no mean square
    }
    {
        [[maybe_unused]] const LevelA wrong =
            85.0;  // MUST FAIL: a number says neither unit nor weighting
    }
    {
        [[maybe_unused]] const LevelDifference wrong = 3.0;  // MUST FAIL: a number says no unit
    }
    {
        [[maybe_unused]] const double wrong =
            LA;  // MUST FAIL: the unit is named when it is left, LA.dB()
    }
    static_cast<void>(LA * 2.0);             // MUST FAIL: twice a level means nothing
    static_cast<void>(step - LA);            // MUST FAIL: a difference less a level means nothing
    static_cast<void>(a_weighting(1000.0));  // MUST FAIL: a frequency, not a number
    static_cast<void>(sound_exposure_Pa2h(LA, 3600.0));  // MUST FAIL: a time, not a number
    static_cast<void>(pressure_of(LevelFS(0.0)).Pa());   // MUST FAIL: a digital level has none
    {
        OctaveLevelsZ octaves;
        octaves.set(OctaveBand::Hz500, LA);  // MUST FAIL: unweighted bands take unweighted levels
    }
    {
        OctaveLevelsZ octaves;
        octaves.set(500, LevelZ(80.0));  // MUST FAIL: a band is known by its name, not by a number
    }
    static_cast<void>(level_by_octave_bands(OctaveLevelsZ(), {}, 1.0));  // MUST FAIL: A-weighted
    {
        [[maybe_unused]] const Calibration wrong{
            LevelA(114.0)};  // MUST FAIL: full scale is an unweighted level
    }
    static_cast<void>(
        Calibration(LevelZ(114.0)).level<quantity::AWeighted>(LA));  // MUST FAIL: in air
    static_cast<void>(Frequency(100.0) + LA);                        // MUST FAIL: different units
    static_cast<void>(level_of<quantity::AWeighted>(85.0));  // MUST FAIL: a pressure, not a number
    static_cast<void>(level_by_nrr(step, step));             // MUST FAIL: subtracts from a level
    {
        constexpr auto unknown_quantity = static_cast<ExposureQuantity>(17);
        [[maybe_unused]] constexpr Accumulation wrong =
            accumulation_of(unknown_quantity);  // MUST FAIL: it has no row
    }
#endif
}
