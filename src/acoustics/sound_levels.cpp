#include "earbudget/acoustics/sound_levels.hpp"

namespace earbudget {

SoundLevels SoundLevels::shifted(LevelDifference difference) const {
    SoundLevels result = *this;
    result.LAeq = LAeq + difference;
    if (LCeq) result.LCeq = *LCeq + difference;
    if (LCpeak) result.LCpeak = *LCpeak + difference;
    if (LZpeak) result.LZpeak = *LZpeak + difference;
    result.octave = octave.shifted(difference);
    result.octave_A = octave_A.shifted(difference);
    return result;
}

}  // namespace earbudget
