#include "earbudget/review/review.hpp"
#include "report/cautions.hpp"
#include "report/reports.hpp"
#include "report/shared_fields.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

/// What one criterion permits of something that could be worn.
struct PermittedInReview {
    const ReviewedChoice& choice;
    const Criterion& criterion;
    const PermittedByCriterion& by;

    /// What keeps it from being decided, or decides it.
    [[nodiscard]] std::optional<Message> reason() const {
        if (!choice.undecidable.empty()) return choice.undecidable;
        return by.best && !by.best->reason.empty() ? std::optional(by.best->reason) : std::nullopt;
    }
};

/// What changed from the card that is replaced.
struct AgainstInReview {
    const ReviewedCard& before;
};

struct PeakInReview {
    const CriterionResult& peak;
};

/// Null where it is not known, 0 where no time is permitted, 86400 where not limited.
std::optional<Seconds> seconds_of(const std::optional<PermittedTime>& time) {
    return if_any(time, &PermittedTime::a_day);
}

std::optional<PermittedTime::Kind> state_of(const std::optional<PermittedTime>& time) {
    return if_any(time, &PermittedTime::kind);
}

std::vector<PermittedInReview> permitted_of(const ReviewedCard& card, const Outer& in) {
    static const PermittedByCriterion nothing{.criterion = nullptr};
    std::vector<PermittedInReview> all;
    for (const ReviewedChoice& choice : card.review.choices) {
        if (choice.undecidable.empty()) {
            for (const PermittedByCriterion& by : choice.permitted)
                all.push_back({choice, *by.criterion, by});
            continue;
        }
        for (const Criterion& criterion : in.the<ReviewReport>().terms->policy.criteria)
            all.push_back({choice, criterion, nothing});
    }
    return all;
}

std::vector<PeakInReview> peaks_of(const ReviewedCard& card) {
    return each_of(card.review.peaks,
                   [](const CriterionResult& peak) { return PeakInReview{peak}; });
}

Only<Working> working_of_card(const ReviewedCard& card, const Outer& in) {
    const Record& record = in.the<ReviewReport>().record;
    return only_if(record.with_working, [&] {
        return asked_working(record, {card.review.sequence.id}, card.review.working);
    });
}

}  // namespace

template <>
FieldTable<PeakInReview> describe() {
    using Of = PeakInReview;
    return {
        "#/$defs/peak",
        {{"criterion", [](const Of& of) { return of.peak.criterion->id; }},
         {"value_dB", [](const Of& of) { return of.peak.value; }},
         {"limit_dB", [](const Of& of) { return of.peak.limit; }},
         {"limit_at_ear", [](const Of& of) { return of.peak.criterion->peak->at_ear; }},
         {"by_bound", [](const Of& of) { return of.peak.by_bound; }},
         {"probability_over", [](const Of& of) { return of.peak.probability_over; }, probability()},
         {"verdict", [](const Of& of) { return of.peak.verdict; }},
         {"decides", [](const Of& of) { return of.peak.decides; }},
         {"remark", [](const Of& of) { return text_of(of.peak.remarks, "; "); }}}};
}

template <>
FieldTable<PermittedInReview> describe() {
    using Of = PermittedInReview;
    return {
        "#/$defs/permitted",
        {{"wears", [](const Of& of) { return of.choice.wears; }},
         {"criterion", [](const Of& of) { return of.criterion.id; }},
         {"decides", [](const Of& of) { return of.by.decides; }},
         {"seconds_per_day", [](const Of& of) { return seconds_of(of.by.best); },
          "86400 where the day sets the only limit; null where unknown; see state"},
         {"seconds_per_session",
          [](const Of& of, const Outer& in) {
              return if_any(seconds_of(of.by.best), [&](Seconds a_day) {
                  return a_day / in.the<ReviewReport>().terms->sessions_per_day;
              });
          }},
         {"state",
          [](const Of& of) {
              return of.by.best ? name_of(of.by.best->kind) : std::string_view("unknown");
          },
          {.names = names_of<PermittedTime::Kind>, .one_of = "unknown"}},
         {"reason", &Of::reason},
         {"peak_at_ear",
          [](const Of& of) {
              return if_any(of.by.peak,
                            [](const CriterionResult& peak) { return PeakInReview{peak}; });
          },
          "of a limit on the peak at the ear; null where it is none"},
         {"confident_seconds_per_day", [](const Of& of) { return seconds_of(of.by.confident); }},
         {"confident_state", [](const Of& of) { return state_of(of.by.confident); }},
         {"seconds_per_day_poorly_seated",
          [](const Of& of) { return seconds_of(of.by.poorly_seated); }},
         {"state_poorly_seated", [](const Of& of) { return state_of(of.by.poorly_seated); }}}};
}

template <>
FieldTable<ReviewedChoice> describe() {
    using Of = ReviewedChoice;
    return {"#/$defs/choice",
            {{"wears", &Of::wears},
             {"method", &Of::method},
             {"method_source", [](const Of& of) { return source_of_known(of.method); }},
             {"at_ear_LAeq_dB", &Of::at_ear},
             {"at_ear_LAeq_poorly_seated_dB", &Of::poorly_seated_at_ear},
             {"fits_head_coil", &Of::can_be_worn},
             {"notes", &Of::notes}}};
}

template <>
FieldTable<ReviewCheck> describe() {
    return {"#/$defs/check",
            {{"code", &ReviewCheck::code},
             {"state", &ReviewCheck::state},
             {"text", &ReviewCheck::says},
             {"to_do", &ReviewCheck::to_do}}};
}

template <>
FieldTable<Recommendation> describe() {
    return {{"code", &Recommendation::code},
            {"text", &Recommendation::says},
            {"conditions", &Recommendation::conditions}};
}

template <>
FieldTable<SoundLevels> describe() {
    using Of = SoundLevels;
    return {"#/$defs/levels",
            {{"LAeq_dB", &Of::LAeq},
             {"LCeq_dB", &Of::c_weighted_level},
             {"LC_minus_LA_dB",
              [](const Of& of) {
                  return if_any(of.c_weighted_level(),
                                [&](LevelC level) { return c_minus_a(level, of.LAeq); });
              }},
             {"LCpeak_dB", &Of::LCpeak},
             {"LZpeak_dB", &Of::LZpeak},
             {"uncertainty_dB", &Of::uncertainty},
             {"octave_dB", [](const Of& of) { return known_bands(of.octave); }, by_octave_band()},
             {"octave_A_dB", [](const Of& of) { return known_bands(of.a_weighted_octaves()); },
              by_octave_band()},
             {"spectrum_like",
              [](const Of& of) {
                  return of.borrowed ? std::optional(of.borrowed->card) : std::nullopt;
              },
              "id of the card whose octave bands stand for this one's; null: its own, or none"},
             {"low_frequency", &Of::low_frequency}}};
}

template <>
FieldTable<Origin> describe() {
    FieldTable<Origin> table("#/$defs/origin", "free text of the card, empty where it says nothing",
                             {});
    for (const OriginRow& row : origin_rows) {
        if (const auto* text = std::get_if<0>(&row.member)) table.add({{row.key, *text}});
        if (const auto* number = std::get_if<1>(&row.member))
            table.add({{row.key, *number, {.min = 1, .max = 2}}});
    }
    return table;
}

template <>
FieldTable<LevelChange> describe() {
    return {{"level", &LevelChange::name},
            {"before_dB", &LevelChange::before},
            {"now_dB", &LevelChange::now},
            {"difference_dB", &LevelChange::difference}};
}

template <>
FieldTable<TimeChange> describe() {
    using Of = TimeChange;
    return {{"wears", &Of::wears},
            {"criterion", [](const Of& of) { return of.criterion->id; }},
            {"seconds_per_day_before", [](const Of& of) { return seconds_of(of.before); }},
            {"state_before", [](const Of& of) { return state_of(of.before); }},
            {"seconds_per_day_now", [](const Of& of) { return seconds_of(of.now); }},
            {"state_now", [](const Of& of) { return state_of(of.now); }},
            {"confident_seconds_per_day_before",
             [](const Of& of) { return seconds_of(of.confident_before); }},
            {"confident_seconds_per_day_now",
             [](const Of& of) { return seconds_of(of.confident_now); }}};
}

template <>
FieldTable<AgainstInReview> describe() {
    using Of = AgainstInReview;
    return {"#/$defs/against",
            "with --against; null without",
            {{members_of, [](const Of& of) { return of.before.file; }},
             {"id", [](const Of& of) { return of.before.review.sequence.id; }},
             {"levels",
              [](const Of& of, const Outer& in) {
                  return level_changes(of.before.review.sequence,
                                       in.the<ReviewedCard>().review.sequence);
              }},
             {"permitted", [](const Of& of, const Outer& in) {
                  return time_changes(of.before.review, in.the<ReviewedCard>().review);
              }}}};
}

template <>
FieldTable<ReviewedCard> describe() {
    using Of = ReviewedCard;
    return {
        "#/$defs/sequence",
        {{"id", [](const Of& of) { return of.review.sequence.id; }},
         {"title", [](const Of& of) { return of.review.sequence.title; }}, {members_of, &Of::file},
         {"recommendation", [](const Of& of) { return of.review.recommendation; }},
         {"levels", [](const Of& of) { return of.review.sequence.levels; }},
         {"origin", [](const Of& of) { return of.review.sequence.origin; }},
         {"peaks", peaks_of, "with nothing worn"}, {"permitted", permitted_of},
         {"choices", [](const Of& of) -> const auto& {return of.review.choices;
}
}  // namespace earbudget::report
, {"not_permitted", [](const Of& of) { return of.review.not_permitted; }},
    {"checks", [](const Of& of) { return of.review.checks; }},
    {"against",
     [](const Of&, const Outer& in) {
         return if_any(in.the<ReviewReport>().against,
                       [](const ReviewedCard& before) { return AgainstInReview{before}; });
     }},
{
    "working", working_of_card, means_working
}
}
}
;
}

template <>
FieldTable<Criterion> describe() {
    using Of = Criterion;
    return {"#/$defs/criterion",
            {{"id", &Of::id},
             {"quantity", &Of::quantity},
             {"limit", &Of::limit},
             {"at_ear", &Of::with_protection},
             {"kind", &Of::kind},
             {"when_above", [](const Of& of) { return text_of(of.when_above, ", "); },
              "what follows from being above it; empty for a limit"},
             {"source", &Of::source},
             {"remark", [](const Of& of) { return text_of(of.remarks, "; "); }}}};
}

template <>
FieldTable<ReviewTerms> describe() {
    using Of = ReviewTerms;
    return {
        "#/$defs/terms",
        "by what was reviewed",
        {{"for",
          [](const Of& of) { return of.role == Role::Staff ? "staff" : name_of(of.age); },
          {.names = names_of<AgeGroup>, .one_of = "staff"}},
         {"role", &Of::role},
         {"method",
          [](const Of& of) {
              const auto& method = of.policy.rules.method;
              return method ? name_of(*method) : std::string_view("best");
          },
          {.names = names_of<Method>, .one_of = "best"}},
         {"derating", [](const Of& of) { return of.policy.rules.derating.kind; }},
         {"derating_source", [](const Of& of) { return source_of(of.policy.rules.derating.kind); }},
         {"protection_performance",
          [](const Of& of) { return of.policy.rules.performance.percent(); }},
         {"accepted_probability_percent",
          [](const Of& of) { return 100.0 * of.policy.accepted_probability; },
          {.above = 0.0, .max = 50.0}},
         {"sessions_per_day", &Of::sessions_per_day, {.min = 1}},
         {"days_per_week", &Of::days_per_week},
         {"least_seconds_per_day", &Of::least_time},
         {"criteria", [](const Of& of) { return of.policy.criteria; }},
         {"derating_dB", [](const Of& of) {
              const Derating& derating = of.policy.rules.derating;
              return only_if(derating.kind == Derating::Kind::Own, [&] { return derating.own; });
          }}}};
}

template <>
FieldTable<PredictedBeside> describe() {
    using Of = PredictedBeside;
    return {
        {{members_of, &Of::file},
         {"sequence", &Of::sequence, "id of the card reviewed"},
         {"LAeq_difference_dB", &Of::LAeq, "predicted less reviewed", {.decimals = 3}},
         {"octave_difference_dB",
          [](const Of& of) {
              Map<std::optional<LevelDifference>> map;
              for (const OctaveBand band : octave_bands)
                  map.emplace_back(name_of(band), of.octave[index_of(band)]);
              return map;
          },
          by_octave_band(3)},
         {"uncertainty_dB",
          &Of::uncertainty,
          "standard uncertainty (k = 1) of both together",
          {.min = 0.0, .decimals = 3}},
         {"inside", &Of::is_inside, "whether LAeq differs by no more than twice that"},
         {"added_to", &Of::added_to, "the response file whose record grew by it; null for none"}}};
}

template <>
FieldTable<ReviewReport> describe() {
    using Of = ReviewReport;
    return {"review.schema.json",
            "earbudget review --format json: sequences on their own",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("review"),
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {members_of, [](const Of& of) { return ExamplesUsed{of.record}; }},
             {members_of, [](const Of& of) { return of.record.draws.value(); }},
             {"sources", [](const Of& of) { return rules_of(of); }},
             {"protectors", &Of::protectors},
             {"terms", [](const Of& of) { return *of.terms; }},
             {"sequences", &Of::cards},
             {"predicted", [](const Of& of) { return only(of.predicted); },
              "with --predicted: a predicted card beside the one reviewed"},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

std::string review_json(const ReviewReport& report) { return json_of(report); }

const ObjectShape& review_shape() { return object_shape<ReviewReport>(); }

}  // namespace earbudget::report
