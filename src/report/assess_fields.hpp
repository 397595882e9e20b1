#pragma once

#include <vector>

#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/day_course.hpp"
#include "report/fields.hpp"
#include "report/reports.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

// The parts of an assessment that stand in JSON as they are.

template <>
FieldTable<Derating> describe();
template <>
FieldTable<CriterionResult> describe();
template <>
FieldTable<DayExposure> describe();
template <>
FieldTable<DayCourse> describe();
template <>
FieldTable<EarBandLevel> describe();
template <>
FieldTable<Change> describe();
template <>
FieldTable<IntercomAtEar> describe();
template <>
FieldTable<Warning> describe();

/// A derating is its name, or the facility's own deduction.
template <>
struct InJson<Derating> {
    static void write(const Derating& derating, const Note& note, JsonText& to) {
        if (derating.kind == Derating::Kind::Own) return table_of<Derating>().write(&derating, to);
        InJson<Derating::Kind>::write(derating.kind, note, to);
    }
    static Shape shape() {
        Shape names = InJson<Derating::Kind>::shape();
        std::erase(names.names, name_of(Derating::Kind::Own));
        return {.kind = Shape::Kind::AnyOf,
                .parts = {names, {.kind = Shape::Kind::Object, .object = object_shape<Derating>}}};
    }
};

template <>
FieldTable<Earlier> describe();

}  // namespace earbudget::report
