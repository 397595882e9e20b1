#include "earbudget/protection/protector.hpp"

namespace earbudget {

std::string_view name_of(ProtectorType type) {
    switch (type) {
        case ProtectorType::FoamPlug:
            return "foam-plug";
        case ProtectorType::PremouldedPlug:
            return "premoulded-plug";
        case ProtectorType::CustomPlug:
            return "custom-plug";
        case ProtectorType::CanalCap:
            return "canal-cap";
        case ProtectorType::Earmuff:
            return "earmuff";
    }
    return "";
}

std::string_view name_of(CanalSize size) {
    switch (size) {
        case CanalSize::Small:
            return "small";
        case CanalSize::Medium:
            return "medium";
        case CanalSize::Large:
            return "large";
    }
    return "";
}

bool has_data(const AttenuationData& attenuation) {
    const Ratings& r = attenuation.ratings;
    return attenuation.octave || r.SNR || r.H || r.M || r.L || r.NRR || r.NRR_SF || r.SLC80 ||
           r.PAR;
}

}  // namespace earbudget
