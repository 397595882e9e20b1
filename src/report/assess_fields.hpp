#pragma once

#include <vector>

#include "earbudget/limits/allowance_course.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/ear_spectrum.hpp"
#include "report/fields.hpp"

namespace earbudget::report {

// The parts of an assessment that stand in JSON as they are.

template <>
Table<Derating> describe();
template <>
Table<CriterionResult> describe();
template <>
Table<DayExposure> describe();
template <>
Table<DayCourse> describe();
template <>
Table<EarBandLevel> describe();
template <>
Table<Change> describe();
template <>
Table<IntercomAtEar> describe();
template <>
Table<Warning> describe();

/// A derating is its name, or the facility's own deduction.
template <>
struct InJson<Derating> {
    static void write(const Derating& derating, const Note& note, JsonText& to) {
        if (derating.kind == Derating::Kind::Own) return table_of<Derating>().write(derating, to);
        InJson<Derating::Kind>::write(derating.kind, note, to);
    }
    static Shape shape() {
        Shape names = InJson<Derating::Kind>::shape();
        std::erase(names.names, name_of(Derating::Kind::Own));
        return {.kind = Shape::Kind::AnyOf,
                .parts = {names, {.kind = Shape::Kind::Object, .object = object_shape<Derating>}}};
    }
};

}  // namespace earbudget::report
