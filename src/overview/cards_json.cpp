#include "overview/cards.hpp"
#include "report/cautions.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::overview {

namespace {

struct CardsReport {
    const CardList& list;
    const report::Record& record;
};

/// None where a card does not say.
std::optional<std::string> stated(const std::string& text) {
    return text.empty() ? std::nullopt : std::optional(text);
}

}  // namespace

}  // namespace earbudget::overview

namespace earbudget::report {

template <>
FieldTable<overview::ListedCard> describe() {
    using Of = overview::ListedCard;
    using overview::stated;
    return {
        "#/$defs/card",
        {{"id", [](const Of& of) { return of.card.id; }},
         {"title", [](const Of& of) { return of.card.title; }},
         {"file", &Of::file},
         {"LAeq_dB", [](const Of& of) { return of.card.levels.LAeq; }},
         {"how", [](const Of& of) { return stated(of.card.origin.how); },
          "how the levels came about; null where the card does not say"},
         {"date", [](const Of& of) { return stated(of.card.origin.when); },
          "of the measurement, as the card has it"},
         {"age_days", &Of::age_days, "since then; null where the date is no day of the calendar"},
         {"valid_until", [](const Of& of) { return stated(of.card.valid_until); },
          "the last day on which it is used, YYYY-MM-DD"},
         {"state", [](const Of& of) { return name_of(of.state); }, {.names = names_of<CardState>}},
         {"superseded_by", &Of::superseded_by, "ids"},
         {"scanner", [](const Of& of) { return stated(of.card.scanner); }},
         {"software", [](const Of& of) { return stated(of.card.software); }},
         {"coil", [](const Of& of) { return stated(of.card.coil); }},
         {"used_by", &Of::used_by, "files of plans in which somebody hears it"},
         {"missing", &Of::missing, "what it does not state"}}};
}

template <>
FieldTable<overview::CardsReport> describe() {
    using Of = overview::CardsReport;
    return {"cards.schema.json",
            "earbudget cards --format json: every card of some folders",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("cards"),
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {members_of, [](const Of& of) { return ExamplesUsed{of.record}; }},
             {"cards", [](const Of& of) { return of.list.cards; }},
             {"passed_over", [](const Of& of) { return of.list.passed_over; },
              "TOML files that are none of this program's"},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report

namespace earbudget::overview {

std::string cards_json(const CardList& list, const report::Record& record) {
    return report::json_of(CardsReport{list, record});
}

const report::ObjectShape& cards_shape() { return report::object_shape<CardsReport>(); }

}  // namespace earbudget::overview
