#include "report/cautions.hpp"
#include "report/reports.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

namespace {

struct RatingsReport {
    const RatingsCheck& check;
    const Record& record;
};

/// One protector or pair; its working may be asked for.
struct CheckedInReport {
    const CheckedRatings& checked;
    bool with_working;
};
struct CheckedProtector : CheckedInReport {};
struct CheckedPair : CheckedInReport {};

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
        table.add({rating.name, [value = rating.value](const T& of) { return of.ratings.*value; }});
}

template <class T>
std::vector<T> every(const std::vector<CheckedRatings>& list, const Record& record) {
    return each_of(list, [&](const CheckedRatings& checked) {
        return T{{checked, record.with_working}};
    });
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
FieldTable<CheckedInReport> describe() {
    using Of = CheckedInReport;
    return {
        {"title", [](const Of& of) { return of.checked.title; }},
        {"where", [](const Of& of) { return of.checked.stated_at.text(); }, "FILE:LINE:COLUMN"},
        {"computed", [](const Of& of) { return ComputedRatings{of.checked.computed}; }},
        {"computed_unrounded",
         [](const Of& of) { return ComputedRatings{of.checked.computed_unrounded}; }},
        {"computed_1994",
         [](const Of& of) { return ComputedRatings1994{of.checked.computed_1994}; }},
        {"computed_1994_unrounded",
         [](const Of& of) { return ComputedRatings1994{of.checked.computed_1994_unrounded}; }},
        {"stated", [](const Of& of) { return StatedRatings{of.checked.stated}; }},
        {"differences", [](const Of& of) { return of.checked.comparisons; }},
        {"notes", [](const Of& of) { return of.checked.notes; }},
        {"working",
         [](const Of& of) { return only_if(of.with_working, [&] { return of.checked.working; }); },
         means_working}};
}

template <>
FieldTable<CheckedProtector> describe() {
    return {{"id", [](const CheckedProtector& of) { return of.checked.ids.front(); }},
            {members_of, [](const CheckedProtector& of) -> const CheckedInReport& { return of; }}};
}

template <>
FieldTable<CheckedPair> describe() {
    return {{"protectors", [](const CheckedPair& of) { return of.checked.ids; }},
            {members_of, [](const CheckedPair& of) -> const CheckedInReport& { return of; }}};
}

template <>
FieldTable<RatingsReport> describe() {
    using Of = RatingsReport;
    return {"ratings.schema.json",
            "earbudget ratings --format json: ratings computed beside those stated",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("ratings"),
             {"catalogue", [](const Of& of) { return of.record.inputs.front(); }},
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {"sources", [](const Of&) { return rules_of_ratings(); }},
             {"protectors",
              [](const Of& of) { return every<CheckedProtector>(of.check.protectors, of.record); }},
             {"pairs", [](const Of& of) { return every<CheckedPair>(of.check.pairs, of.record); }},
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
