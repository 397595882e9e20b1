#include "earbudget/day/seating.hpp"

namespace earbudget {

std::string_view how_to_seat(ProtectorType type) {
    switch (type) {
        case ProtectorType::FoamPlug:
            return "roll the plug thin, pull the ear up and back, hold the plug in until it has "
                   "expanded";
        case ProtectorType::PremouldedPlug:
        case ProtectorType::CustomPlug:
            return "pull the ear up and back, turn the plug in until it seals all around";
        case ProtectorType::CanalCap:
            return "press the caps in with the ear pulled up and back until both seal";
        case ProtectorType::Earmuff:
            return "seat the cushions on bare skin all around, no hair or frame of glasses under "
                   "them";
    }
    return "";
}

std::string_view how_to_check(ProtectorType type) {
    switch (type) {
        case ProtectorType::FoamPlug:
            return "hardly seen from the front; the own voice sounds hollow; hands cupped over the "
                   "ears make little difference";
        case ProtectorType::PremouldedPlug:
        case ProtectorType::CustomPlug:
            return "a light tug meets resistance; the own voice sounds hollow";
        case ProtectorType::CanalCap:
            return "both caps still seal with the head turned; the own voice sounds hollow";
        case ProtectorType::Earmuff:
            return "no gap to be felt around either cushion, also once the head lies in the coil";
    }
    return "";
}

}  // namespace earbudget
