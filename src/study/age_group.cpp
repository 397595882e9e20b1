#include "earbudget/study/age_group.hpp"

namespace earbudget {

std::string_view name_of(AgeGroup group) {
    switch (group) {
        case AgeGroup::Adult:
            return "adult";
        case AgeGroup::Teenager:
            return "teenager";
        case AgeGroup::Child:
            return "child";
        case AgeGroup::Neonate:
            return "neonate";
    }
    return "";
}

std::string_view words_of(AgeGroup group) {
    switch (group) {
        case AgeGroup::Adult:
            return "an adult";
        case AgeGroup::Teenager:
            return "a teenager";
        case AgeGroup::Child:
            return "a child";
        case AgeGroup::Neonate:
            return "a neonate";
    }
    return "";
}

}  // namespace earbudget
