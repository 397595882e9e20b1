#include "report/cautions.hpp"
#include "report/reports.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

namespace {

struct RatingsReport {
    const RatingsCheck& check;
    const Record& record;
};

struct CheckedProtector {
    const CheckedRatings& checked;
};
struct CheckedPair {
    const CheckedRatings& checked;
};

struct ComputedRatings {
    const Ratings& ratings;
};
struct ComputedRatings1994 {
    const Ratings& ratings;
};
struct StatedRatings {
    const Ratings& ratings;
};

template <class T, class Names>
void add_rows(const Names& names, FieldTable<T>& table) {
    for (const RatingRow& rating : names)
        table.add(
            {{rating.name, [value = rating.value](const T& of) { return of.ratings.*value; }}});
}

template <class T>
std::vector<T> every(const std::vector<CheckedRatings>& list) {
    return each_of(list, [](const CheckedRatings& checked) { return T{checked}; });
}

}  // namespace

template <>
FieldTable<ComputedRatings> describe() {
    FieldTable<ComputedRatings> table(
        "#/$defs/computed",
        "from octave-band data, by ISO 4869-2:2018 and 40 CFR 211.207, dB; null without", {});
    add_rows(ratings_from_octaves, table);
    return table;
}

template <>
FieldTable<ComputedRatings1994> describe() {
    FieldTable<ComputedRatings1994> table(
        "#/$defs/computed_1994",
        "by ISO 4869-2:1994, the earlier edition, from 63 Hz where stated, dB; for comparison "
        "alone",
        {});
    add_rows(ratings_of_editions, table);
    return table;
}

template <>
FieldTable<StatedRatings> describe() {
    FieldTable<StatedRatings> table("#/$defs/stated", "dB; null where not stated", {});
    add_rows(ratings_from_octaves, table);
    add_rows(ratings_as_stated, table);
    return table;
}

template <>
FieldTable<RatingComparison> describe() {
    return {"#/$defs/difference",
            {{"rating", &RatingComparison::rating},
             {"stated", &RatingComparison::stated},
             {"computed", &RatingComparison::computed},
             {"difference_dB", &RatingComparison::difference},
             {"agrees", &RatingComparison::agrees},
             {"apart", &RatingComparison::is_apart, "more than 2 dB"}}};
}

template <>
FieldTable<CatalogueNote> describe() {
    return {"#/$defs/note", {{"code", &CatalogueNote::code}, {"text", &CatalogueNote::says}}};
}

template <>
FieldTable<CheckedRatings> describe() {
    using Of = CheckedRatings;
    return {
        {"title", &Of::title},
        {"where", [](const Of& of) { return of.stated_at.text(); }, "FILE:LINE:COLUMN"},
        {"computed", [](const Of& of) { return ComputedRatings{of.computed}; }},
        {"computed_unrounded", [](const Of& of) { return ComputedRatings{of.computed_unrounded}; }},
        {"computed_1994", [](const Of& of) { return ComputedRatings1994{of.computed_1994}; }},
        {"computed_1994_unrounded",
         [](const Of& of) { return ComputedRatings1994{of.computed_1994_unrounded}; }},
        {"stated", [](const Of& of) { return StatedRatings{of.stated}; }},
        {"differences", &Of::comparisons},
        {"notes", &Of::notes},
        {"working",
         [](const Of& of, const Outer& in) {
             return only_if(in.the<RatingsReport>().record.with_working,
                            [&] { return of.working; });
         },
         means_working}};
}

template <>
FieldTable<CheckedProtector> describe() {
    using Of = CheckedProtector;
    return {{"id", [](const Of& of) { return of.checked.ids.front(); }},
            {members_of, [](const Of& of) -> const auto& {return of.checked;
}
}  // namespace earbudget::report
}
;
}

template <>
FieldTable<CheckedPair> describe() {
    using Of = CheckedPair;
    return {{"protectors", [](const Of& of) { return of.checked.ids; }},
            {members_of, [](const Of& of) -> const auto& {return of.checked;
}
}
}
;
}

template <>
FieldTable<RatingsReport> describe() {
    using Of = RatingsReport;
    return {
        "ratings.schema.json",
        "earbudget ratings --format json: ratings computed beside those stated",
        {{members_of, [](const Of&) { return Program{}; }},
         command<Of>("ratings"),
         {"catalogue", [](const Of& of) { return of.record.inputs.front(); }},
         {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
         {members_of, [](const Of& of) { return ExamplesUsed{of.record}; }},
         {"sources", [](const Of&) { return rules_of_ratings(); }},
         {"protectors", [](const Of& of) { return every<CheckedProtector>(of.check.protectors); }},
         {"pairs", [](const Of& of) { return every<CheckedPair>(of.check.pairs); }},
         {"cautions",
          [](const Of&) { return ratings_cautions; },
          means_cautions,
          {.filled = true}}}};
}

std::string ratings_json(const RatingsCheck& check, const Record& record) {
    return json_of(RatingsReport{check, record});
}

const ObjectShape& ratings_shape() { return object_shape<RatingsReport>(); }

}  // namespace earbudget::report
