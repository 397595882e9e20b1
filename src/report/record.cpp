#include "report/record.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/day/ear_band.hpp"
#include "earbudget/protection/rating_from_octaves.hpp"
#include "earbudget/study/visible_text.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "report/cautions.hpp"
#include "report/document.hpp"
#include "report/reports.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

/// The sources of the forms that a method was used in stand together.
void add_method(const std::optional<Method>& method, RulesUsed& rules,
                MethodForm form = MethodForm::AsDefined) {
    if (!method) return;
    const std::string source(source_of(*method, form));
    const auto known = std::ranges::find(rules.methods, name_of(*method), &NamedSource::id);
    if (known == rules.methods.end()) {
        rules.methods.push_back({std::string(name_of(*method)), source});
    } else if (known->source.find(source) == std::string::npos) {
        known->source += "; " + source;
    }
}

/// The methods that the rows of a day were predicted by: that of the day first, since tasks may
/// name what is worn.
void add_methods(const PersonResult& result, RulesUsed& rules) {
    for (const bool of_the_day : {true, false}) {
        for (const SegmentResult& segment : result.segments) {
            const auto& prediction = segment.row.prediction;
            if (prediction && (prediction->method == result.method) == of_the_day)
                add_method(prediction->method, rules, prediction->form);
        }
    }
}

/// How useful a level at the ear is, which is said of whoever wears something.
void add_ear_band(RulesUsed& rules) {
    add_once(NamedSource{"useful levels", std::string(source_of_ear_band)}, rules.methods);
}

void add_derating(const Derating& derating, RulesUsed& rules) {
    std::string name(name_of(derating.kind));
    if (derating.kind == Derating::Kind::Own) name = fmt::format("{:g} dB", derating.own.dB());
    add_once(NamedSource{std::move(name), std::string(source_of(derating.kind))}, rules.deratings);
}

void add_criteria(const Person& person, RulesUsed& rules) {
    for (const Criterion& criterion : person.policy.criteria) {
        if (criterion.is_for(person.role))
            add_once(NamedSource{criterion.id, criterion.source}, rules.criteria);
    }
}

std::size_t most_draws(const DrawSettings& settings) {
    return std::max(settings.draws, settings.draws_of_times);
}

void add_sources(std::string_view kind, const std::vector<NamedSource>& sources,
                 Definitions& definitions) {
    for (const NamedSource& source : sources)
        definitions.entries.emplace_back(fmt::format("{} {}", kind, source.id), source.source);
}

}  // namespace

RulesUsed rules_of(const Assessment& assessment) {
    RulesUsed rules;
    for (const PersonResult& result : assessment.people) {
        add_methods(result, rules);
        add_derating(result.derating, rules);
        add_criteria(*result.person, rules);
    }
    if (std::ranges::any_of(assessment.people, [](const PersonResult& result) {
            return result.while_scanning && !result.person->wears.empty();
        })) {
        add_ear_band(rules);
    }
    return rules;
}

RulesUsed rules_of(const std::vector<PersonChoice>& choices) {
    RulesUsed rules;
    for (const PersonChoice& choice : choices) {
        for (const RankedChoice& ranked : choice.ranking)
            add_method(ranked.method, rules);
        add_derating(choice.person->policy.rules.derating, rules);
        add_criteria(*choice.person, rules);
    }
    if (!rules.methods.empty()) add_ear_band(rules);
    return rules;
}

RulesUsed rules_of(const ReviewReport& report) {
    RulesUsed rules;
    for (const ReviewedCard& card : report.cards) {
        for (const ReviewedChoice& choice : card.review.choices)
            add_method(choice.method, rules);
    }
    add_derating(report.terms->policy.rules.derating, rules);
    for (const Criterion& criterion : report.terms->policy.criteria)
        add_once(NamedSource{criterion.id, criterion.source}, rules.criteria);
    return rules;
}

RulesUsed rules_of_ratings() {
    return {.methods = {{"H, M, L", std::string(formula_of_pnr.source)},
                        {"SNR", std::string(formula_of_snr_rating.source)},
                        {"H, M, L by 1994", std::string(formula_of_pnr_1994.source)},
                        {"SNR by 1994", std::string(formula_of_snr_rating_1994.source)},
                        {"NRR", std::string(formula_of_nrr_rating.source)}},
            .deratings = {},
            .criteria = {}};
}

RulesUsed rules_of_measuring() {
    return {.methods = {{"levels", "IEC 61672-1:2013 (weightings and averages)"},
                        {"bands",
                         "IEC 61260-1 (octave and one-third-octave bands; edition not confirmed)"}},
            .deratings = {},
            .criteria = {}};
}

std::string draws_words(const Record& record) {
    return fmt::format(
        "{} draws of seed {}{}, and from {} where that probability is near the accepted one; "
        "times, "
        "runs, sessions and reductions that keep it from {}: ISO/IEC Guide 98-3, supplement 1 "
        "(memory)",
        record.draws->draws, record.draws->seed,
        record.fewer_draws_where_clear
            ? fmt::format(", only the first {} where they leave no doubt", few_draws)
            : "",
        most_draws(*record.draws), most_draws(*record.draws));
}

std::string words_on_examples(const Record& record) {
    constexpr std::size_t most_named = 2;
    std::vector<std::string> named = record.examples;
    if (named.empty()) return "";
    std::string more;
    if (named.size() > most_named) {
        const std::size_t others = named.size() - most_named;
        more = fmt::format(" and {} more file{}", others, others == 1 ? "" : "s");
        named.resize(most_named);
    }
    return fmt::format(
        "These are examples, not your figures, of {}{}: put yours in, then delete the line "
        "\"examples = true\" there.",
        joined(named, ", "), more);
}

std::string fingerprint_in_fours(const Record& record) {
    constexpr std::size_t digits_shown = 16;
    const std::string digits = record.fingerprint.substr(0, digits_shown);
    std::string words;
    for (std::size_t n = 0; n < digits.size(); n += 4)
        words += (n == 0 ? "" : " ") + digits.substr(n, 4);
    return words;
}

void append(std::vector<Block> more, std::vector<Block>& blocks) {
    std::ranges::move(more, std::back_inserter(blocks));
}

List sentences(const std::vector<std::string>& all, bool bullets) {
    List list{.items = {}, .bullets = bullets};
    for (const std::string& one : all)
        if (!one.empty()) list.items.push_back({one});
    return list;
}

void add_record_and_cautions(const Record& record, const RulesUsed& rules,
                             const std::vector<std::string>& more, Document& document) {
    const std::string program = fmt::format("earbudget {}", program_version());
    Definitions terms{.entries = {{"program", program}, {"date", record.date}}};
    if (record.draws)
        terms.entries.emplace_back("probabilities", draws_words(record) + " (docs/uncertainty.md)");
    add_sources("method", rules.methods, terms);
    add_sources("derating", rules.deratings, terms);
    add_sources("criterion", rules.criteria, terms);
    Definitions files{.entries = {}, .look = "record"};
    for (const SourceFile& file : record.inputs)
        files.entries.emplace_back(file.path, hash_digits(file.sha256));
    files.entries.emplace_back("fingerprint of all files read: " + fingerprint_in_fours(record),
                               hash_digits(record.fingerprint));
    document.sections.push_back({"record",
                                 "Sources and record",
                                 {{terms}, {Heading{"Files read, with their SHA-256"}}, {files}}});
    std::vector<std::string> all = more;
    all.insert(all.end(), cautions.begin(), cautions.end());
    document.sections.push_back({"cautions", "Cautions", {{sentences(all)}}});
    document.foot = fmt::format("{}, {}", program, record.date);
    document.first_line = words_on_examples(record);
}

}  // namespace earbudget::report
