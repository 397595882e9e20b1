#include "sessions/criteria_json.hpp"

#include <algorithm>

#include "report/words/words.hpp"

namespace earbudget::sessions {

namespace {

constexpr std::size_t most_messages = 100;
constexpr std::size_t most_peaks = 1000;

constexpr auto weightings = rows_of<NameRow<PeakLimit::Weighting>>(
    {{PeakLimit::Weighting::C, "C"}, {PeakLimit::Weighting::None, "none"}});
constexpr auto reasons = rows_of<NameRow<WhyOutside>>({{WhyOutside::NoHml, "no-hml"},
                                                       {WhyOutside::NotAllTheTime, "part-time"},
                                                       {WhyOutside::PoorlySeated, "poor-fit"},
                                                       {WhyOutside::TwoWorn, "two-worn"}});
constexpr auto forms =
    rows_of<NameRow<PeakReduction::Form>>({{PeakReduction::Form::Usual, "usual"},
                                           {PeakReduction::Form::LowFrequency, "low-frequency"},
                                           {PeakReduction::Form::SmallerOfBoth, "smaller"}});

Json json_of_all(const std::vector<Message>& messages) {
    Json all = Json::array();
    for (const Message& message : messages)
        all.push_back(json_of(message));
    return all;
}

Json json_of_bound(const PeakBound& bound) {
    Json json = {
        {"LAeq_dB", bound.LAeq.dB()}, {"above_dB", bound.above.dB()}, {"u_dB", bound.u.dB()}};
    put_flag(json, "by_measured_cards", bound.by_measured_cards);
    json["difference_dB"] = bound.difference.dB();
    json["for_unweighted_dB"] = bound.for_unweighted.dB();
    return json;
}

PeakBound read_bound(const Json& json) {
    const ObjectIn in(json);
    return {.LAeq = in.dB<LevelA>("LAeq_dB", any_level),
            .above = in.dB<LevelDifference>("above_dB", any_difference),
            .by_measured_cards = in.flag("by_measured_cards"),
            .u = in.dB<LevelDifference>("u_dB", any_size),
            .difference = in.dB<LevelDifference>("difference_dB", any_difference),
            .for_unweighted = in.dB<LevelDifference>("for_unweighted_dB", any_difference)};
}

Json json_of_reduction(const PeakReduction& worn) {
    Json json = {{"M_dB", worn.M.dB()}, {"L_dB", worn.L.dB()}, {"Ks_dB", worn.Ks.dB()}};
    put_flag(json, "from_octaves", worn.from_octaves);
    json["form"] = forms[worn.form].name;
    json["reduction_dB"] = worn.reduction.dB();
    return json;
}

PeakReduction read_reduction(const Json& json) {
    const ObjectIn in(json);
    return {.M = in.dB<LevelDifference>("M_dB", any_difference),
            .L = in.dB<LevelDifference>("L_dB", any_difference),
            .from_octaves = in.flag("from_octaves"),
            .Ks = in.dB<LevelDifference>("Ks_dB", any_difference),
            .form = in.choice("form", forms),
            .reduction = in.dB<LevelDifference>("reduction_dB", any_difference)};
}

Json json_of_peak(const RowPeak& peak) {
    Json json = {{"name", peak.name}};
    if (peak.stated_dB) json["stated_dB"] = *peak.stated_dB;
    put_flag(json, "C_for_unweighted", peak.C_for_unweighted);
    put_flag(json, "unweighted_for_C", peak.unweighted_for_C);
    json["u_dB"] = peak.uncertainty.dB();
    if (peak.bound) json["bound"] = json_of_bound(*peak.bound);
    if (peak.worn) json["worn"] = json_of_reduction(*peak.worn);
    if (peak.reduction.dB() != 0.0) json["reduction_dB"] = peak.reduction.dB();
    if (peak.why_outside) json["why_outside"] = reasons[*peak.why_outside].name;
    return json;
}

RowPeak read_peak(const Json& json) {
    const ObjectIn in(json);
    RowPeak peak{.name = in.text("name"),
                 .stated_dB = in.maybe("stated_dB", any_level),
                 .C_for_unweighted = in.flag("C_for_unweighted"),
                 .unweighted_for_C = in.flag("unweighted_for_C"),
                 .uncertainty = in.dB<LevelDifference>("u_dB", any_size)};
    // Which of two stands for the other is said of a peak that is stated.
    if (!peak.stated_dB && (peak.C_for_unweighted || peak.unweighted_for_C)) throw Damaged();
    if (const Json* bound = in.find("bound")) peak.bound = read_bound(*bound);
    if (const Json* worn = in.find("worn")) peak.worn = read_reduction(*worn);
    peak.reduction = LevelDifference(in.maybe("reduction_dB", any_difference).value_or(0.0));
    if (in.find("why_outside")) peak.why_outside = in.choice("why_outside", reasons);
    return peak;
}

}  // namespace

Json json_of(const Message& message) {
    const auto* phrase = std::get_if<CriterionPhrase>(&message.phrase);
    if (phrase && message.arguments.empty()) return row_of(*phrase).name;
    return Json::object({{"text", text_of(message)}});
}

Message read_message(const Json& json) {
    if (json.is_object()) return as_it_stands(ObjectIn(json).text("text"));
    const std::string name = ObjectIn::text(json);
    const auto row = std::ranges::find(rows_of_CriterionPhrase, name, &PhraseRow::name);
    if (row == rows_of_CriterionPhrase.end()) throw Damaged();
    return {static_cast<CriterionPhrase>(row - rows_of_CriterionPhrase.begin()), {}};
}

Json json_of(const Criterion& criterion) {
    Json json = {{"id", criterion.id},
                 {"title", criterion.title},
                 {"quantity", name_of(criterion.quantity)},
                 {"level_dB", criterion.rule.level.dB()},
                 {"exchange_dB", criterion.rule.exchange.dB()},
                 {"hours", criterion.rule.hours.count()}};
    put_dB(json, "threshold_dB", criterion.rule.threshold);
    put_dB(json, "ceiling_dB", criterion.rule.ceiling);
    json["dose_limit_percent"] = criterion.dose_limit_percent;
    if (criterion.peak) {
        json["peak"] = {{"Pa", criterion.peak->pressure.Pa()},
                        {"weighting", weightings[criterion.peak->weighting].name},
                        {"at_ear", criterion.peak->at_ear}};
    }
    put_flag(json, "with_protection", criterion.with_protection);
    for (const Role role : criterion.roles)
        json["roles"].push_back(name_of(role));
    json["source"] = criterion.source;
    if (!criterion.remarks.empty()) json["remarks"] = json_of_all(criterion.remarks);
    put_flag(json, "allows_weekly_average", criterion.allows_weekly_average);
    put_flag(json, "weekly_average", criterion.weekly_average);
    json["kind"] = name_of(criterion.kind);
    if (!criterion.when_above.empty()) json["when_above"] = json_of_all(criterion.when_above);
    put_flag(json, "only_where_named", criterion.only_where_named);
    return json;
}

Criterion read_criterion(const Json& json) {
    constexpr Range any_hours{0.0, 1e4};
    constexpr Range any_exchange{0.1, 100.0};
    constexpr Range any_limit{1e-6, 1e9};
    const ObjectIn in(json);
    Criterion criterion{.id = in.text("id"),
                        .title = in.text("title"),
                        .quantity = in.choice("quantity", exposure_quantities),
                        .rule = {.level = in.dB<LevelA>("level_dB", any_level),
                                 .exchange = in.dB<LevelDifference>("exchange_dB", any_exchange),
                                 .hours = Hours(in.number("hours", any_hours)),
                                 .threshold = in.maybe_dB<LevelA>("threshold_dB", any_level),
                                 .ceiling = in.maybe_dB<LevelA>("ceiling_dB", any_level)},
                        .dose_limit_percent = in.number("dose_limit_percent", any_limit),
                        .roles = {},
                        .source = in.maybe_text("source")};
    if (is_dose(criterion.quantity) && !(criterion.rule.hours.count() > 0.0)) throw Damaged();
    if (const Json* peak = in.find("peak")) {
        const ObjectIn of_peak(*peak);
        criterion.peak = PeakLimit{Pressure(of_peak.number("Pa", {1e-6, 1e6})),
                                   of_peak.choice("weighting", weightings), of_peak.flag("at_ear")};
    }
    criterion.with_protection = in.flag("with_protection");
    criterion.roles = in.list("roles", role_rows.size(), [](const Json& one) {
        const auto role = role_rows.parse(ObjectIn::text(one));
        if (!role) throw Damaged();
        return *role;
    });
    criterion.remarks = in.list("remarks", most_messages, read_message);
    criterion.allows_weekly_average = in.flag("allows_weekly_average");
    criterion.weekly_average = in.flag("weekly_average");
    criterion.kind = in.choice("kind", criterion_kinds);
    criterion.when_above = in.list("when_above", most_messages, read_message);
    criterion.only_where_named = in.flag("only_where_named");
    return criterion;
}

Json json_of(const PeaksBy& peaks) {
    Json json = {{"weighting", weightings[peaks.weighting].name}};
    put_flag(json, "at_ear", peaks.at_ear);
    json["sounds"] = Json::array();
    for (const RowPeak& peak : peaks.peaks)
        json["sounds"].push_back(json_of_peak(peak));
    return json;
}

PeaksBy read_peaks(const Json& json) {
    const ObjectIn in(json);
    return {in.choice("weighting", weightings), in.flag("at_ear"),
            in.list("sounds", most_peaks, read_peak)};
}

}  // namespace earbudget::sessions
