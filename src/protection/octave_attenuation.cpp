#include "earbudget/protection/octave_attenuation.hpp"

namespace earbudget {

OctaveMask permitted_attenuation_bands() {
    return bands_from_125_Hz().set(index_of(OctaveBand::Hz63));
}

}  // namespace earbudget
