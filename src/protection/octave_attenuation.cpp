#include "earbudget/protection/octave_attenuation.hpp"

namespace earbudget {

OctaveMask required_attenuation_bands() {
    OctaveMask bands;
    for (std::size_t i = index_of(OctaveBand::Hz125); i <= index_of(OctaveBand::Hz8000); ++i) {
        bands.set(i);
    }
    return bands;
}

OctaveMask permitted_attenuation_bands() {
    return required_attenuation_bands().set(index_of(OctaveBand::Hz63));
}

}  // namespace earbudget
