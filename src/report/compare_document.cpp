#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "report/assess_words.hpp"
#include "report/reports.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

std::string time_or_none(const std::optional<Seconds>& time) {
    return time ? text_of(*time) : std::string("not run");
}

/// What differs, and how, where it does.
std::string changed(std::string_view what, const std::string& was, const std::string& is) {
    return was == is ? "" : fmt::format("; {}{} before, {} now", what, was, is);
}

/// What a card states otherwise, the level always.
std::string card_words(const SequenceChange& change) {
    const SoundLevels& was = change.card_before->levels;
    const SoundLevels& is = change.card_after->levels;
    std::string text = fmt::format("; card LAeq {} before, {} now", level_with_unit(was.LAeq),
                                   level_with_unit(is.LAeq));
    const auto level = [](const auto& value) {
        return value ? fmt::format("{:.1f} dB", value->dB()) : std::string("not stated");
    };
    const auto low = [](const SoundLevels& levels) {
        if (!levels.low_frequency) return std::string("not stated");
        return std::string(*levels.low_frequency ? "true" : "false");
    };
    const auto bands = [](const SoundLevels& levels) {
        if (levels.borrowed) return fmt::format("those of \"{}\"", levels.borrowed->card);
        return std::string(levels.a_weighted_octaves().bands().none() ? "not stated" : "its own");
    };
    text += changed("LCeq ", level(was.LCeq), level(is.LCeq)) +
            changed("LCpeak ", level(was.LCpeak), level(is.LCpeak)) +
            changed("LZpeak ", level(was.LZpeak), level(is.LZpeak)) +
            changed("uncertainty ", level(was.uncertainty), level(is.uncertainty)) +
            changed("low_frequency ", low(was), low(is)) +
            changed("octave bands ", bands(was), bands(is));
    const bool only_levels = bands(was) == bands(is) && change.are_octaves_changed();
    return only_levels ? text + "; octave bands differ" : text;
}

std::string sequence_sentence(const SequenceChange& change) {
    std::string text = change.before == change.after
                           ? fmt::format("{}: {} as before", change.id, time_or_none(change.after))
                           : fmt::format("{}: {} before, {} now", change.id,
                                         time_or_none(change.before), time_or_none(change.after));
    if (change.before && change.after && change.is_card_changed()) text += card_words(change);
    return text;
}

/// What a dose is reckoned with.
std::string rule_of(const CriterionResult& result) {
    const DoseRule& rule = result.criterion->rule;
    return fmt::format("{:g} dB(A), {:g} dB exchange, {:g} h", rule.level.dB(), rule.exchange.dB(),
                       rule.hours.count());
}

/// What else of a person's day the plans state differently.
std::string causes(const Person& before, const Person& after) {
    const auto number = [](const auto& value) {
        return value ? fmt::format("{:g}", static_cast<double>(*value)) : std::string("not stated");
    };
    const auto method = [](const Person& person) {
        const auto& rules = person.policy.rules;
        return fmt::format("{} with derating {}", rules.method ? name_of(*rules.method) : "best",
                           name_of(rules.derating.kind));
    };
    const auto worn = [](const Person& person) {
        return fmt::format("{:.0f} % of the time{}", 100.0 * person.wearing.fraction_of_time,
                           person.wearing.poor_fit ? ", poorly seated" : "");
    };
    return changed("sessions a day ", std::to_string(before.sessions_per_day),
                   std::to_string(after.sessions_per_day)) +
           changed("days a week ", number(before.days_per_week), number(after.days_per_week)) +
           changed("method ", method(before), method(after)) +
           changed("worn ", worn(before), worn(after)) +
           changed("tasks ", std::to_string(before.tasks.size()),
                   std::to_string(after.tasks.size()));
}

std::string or_not_known(std::string text) { return text.empty() ? "not known" : text; }

std::string side(const CriterionResult* result) {
    return result ? value_text(*result) : std::string("not judged");
}

std::string criterion_sentence(const CriterionChange& change) {
    const CriterionResult& known = change.after ? *change.after : *change.before;
    const std::string text =
        fmt::format("{} {}: {} before, {} now", known.criterion->id, quantity_text(known),
                    side(change.before), side(change.after));
    if (!change.before || !change.after) return text;
    const CriterionResult& was = *change.before;
    const CriterionResult& is = *change.after;
    return text + changed("limit ", limit_text(was), limit_text(is)) +
           changed("", rule_of(was), rule_of(is)) +
           changed("probability of being over ", or_not_known(probability_text(was)),
                   or_not_known(probability_text(is))) +
           changed("", words_of(was.verdict), words_of(is.verdict));
}

std::string worn_or_nothing(const Catalogue& catalogue, const Person& person) {
    return person.wears.empty() ? "nothing" : short_names_of(catalogue, person.wears);
}

/// Whether a reader would see a difference.
bool is_any(const CriterionChange& change) {
    if (!change.before || !change.after) return true;
    return value_text(*change.before) != value_text(*change.after) ||
           probability_text(*change.before) != probability_text(*change.after) ||
           change.before->verdict != change.after->verdict;
}

/// What changed for one person, or alike for several, and of which limits.
struct PersonCompared {
    std::vector<std::string> ids = {};
    std::string change = {};  ///< without the names
    std::vector<std::string> criteria = {};

    [[nodiscard]] Item item() const {
        Item item{strong(names_of_people(ids)) + ": " + change};
        for (const std::string& criterion : criteria)
            item.under.push_back({criterion});
        return item;
    }
};

PersonCompared person_compared(const Comparison& plans, const PersonChange& change) {
    if (!change.after) return {{change.id}, "no longer in the plan"};
    if (!change.before) {
        return {{change.id},
                fmt::format("new, {}",
                            coloured(change.after->verdict, words_of(change.after->verdict)))};
    }
    const Verdict was = change.before->verdict;
    const Verdict is = change.after->verdict;
    std::string text =
        was == is ? words_of(is) + " as before"
                  : fmt::format("{} before, {} now", words_of(was), coloured(is, words_of(is)));
    if (const auto by = change.change()) {
        const bool same = std::abs(by->dB()) < 0.05;
        text += same ? std::string("; LEX,8h at the ear unchanged")
                     : fmt::format("; LEX,8h at the ear {:.1f} dB {}", std::abs(by->dB()),
                                   by->dB() < 0.0 ? "lower" : "higher");
    }
    if (change.wears_otherwise()) {
        text += fmt::format("; wears {} instead of {}",
                            worn_or_nothing(plans.after->plan->catalogue, *change.after->person),
                            worn_or_nothing(plans.before->plan->catalogue, *change.before->person));
    }
    text += causes(*change.before->person, *change.after->person);
    PersonCompared compared{{change.id}, std::move(text)};
    for (const CriterionChange& criterion : change.criteria) {
        if (is_any(criterion)) compared.criteria.push_back(criterion_sentence(criterion));
    }
    return compared;
}

/// The same of several people is said once.
void add(PersonCompared person, std::vector<PersonCompared>& people) {
    const auto same = std::ranges::find_if(people, [&](const PersonCompared& other) {
        return other.change == person.change && other.criteria == person.criteria;
    });
    if (same == people.end()) {
        people.push_back(std::move(person));
    } else {
        same->ids.push_back(person.ids.front());
    }
}

}  // namespace

Section compare_section(const Earlier& earlier) {
    const Comparison& comparison = earlier.comparison;
    std::vector<std::string> session = {
        comparison.session_before == comparison.session_after
            ? fmt::format("session: {} as before", text_of(comparison.session_after))
            : fmt::format("session: {} before, {} now", text_of(comparison.session_before),
                          text_of(comparison.session_after))};
    for (const SequenceChange& change : comparison.sequences)
        session.push_back(sequence_sentence(change));
    std::vector<PersonCompared> people;
    for (const PersonChange& change : comparison.people)
        add(person_compared(comparison, change), people);
    List list;
    for (const PersonCompared& person : people)
        list.items.push_back(person.item());
    const std::string with =
        fmt::format("Compared with {} ({}, SHA-256 {}…)", comparison.before->plan->title,
                    earlier.file.path, earlier.file.sha256.substr(0, 16));
    return {"compared", "What changed", {{Paragraph{with}}, {sentences(session)}, {list}}};
}

}  // namespace earbudget::report
