#include <algorithm>
#include <filesystem>
#include <map>
#include <set>
#include <system_error>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/review_terms.hpp"
#include "cli/steps.hpp"
#include "earbudget/study/card_age.hpp"
#include "files/open_file.hpp"
#include "files/study_files.hpp"
#include "files/visits_file.hpp"
#include "report/csv_table.hpp"
#include "report/reports.hpp"

namespace earbudget::cli {

namespace {

/// What all cards of a review are read with.
struct Reading {
    files::TextInputs inputs;
    files::SequenceFolders folders;
    files::ErrorList errors;

    [[nodiscard]] report::SourceFile source(const std::string& path) const {
        return {path, inputs.sha256(path)};
    }
};

/// A card to be reviewed later, so that nothing is computed before every file is read.
struct ReadCard {
    Sequence sequence;
    std::vector<std::string> others;  ///< cards that its bands come from
    report::SourceFile file;
};

ReadCard read_card(const std::string& path, Reading& reading) {
    auto card = files::read_sequence_card_in_folder(path, reading.inputs, reading.folders);
    return {std::move(card.sequence), std::move(card.others), reading.source(path)};
}

/// Two cards with one id, or one card with two names.
InputError stands_twice(const std::string& path, const std::string& first, const std::string& id) {
    std::error_code ignored;
    if (std::filesystem::equivalent(path, first, ignored)) {
        return {{path},
                fmt::format("this card is given twice, first as \"{}\"; accepted: each card once",
                            first)};
    }
    return {{path},
            fmt::format("the id \"{}\" is also that of \"{}\"; accepted: each id on one card", id,
                        first)};
}

std::vector<ReadCard> read_cards(const std::vector<std::string>& paths, Reading& reading) {
    std::vector<ReadCard> cards;
    std::map<std::string, std::string> path_of_id;
    for (const std::string& path : paths) {
        reading.errors.attempt([&] {
            files::refuse_study(path, "review", reading.inputs);
            ReadCard card = read_card(path, reading);
            const auto [known, is_new] = path_of_id.emplace(card.sequence.id, path);
            if (!is_new) throw stands_twice(path, known->second, card.sequence.id);
            cards.push_back(std::move(card));
        });
    }
    return cards;
}

std::vector<std::string> inputs_of(const ReviewOptions& options) {
    std::vector<std::string> inputs = options.cards;
    if (options.against) inputs.push_back(*options.against);
    if (options.protectors) inputs.push_back(*options.protectors);
    return inputs;
}

/// All that the review is of: what the options name, then the cards that bands come from.
report::Record record_of(const ReviewOptions& options, const Reading& reading,
                         const std::vector<ReadCard>& cards,
                         const std::optional<ReadCard>& against) {
    report::Record record = record_of(options.output, inputs_of(options), reading.inputs);
    add_examples(record, inputs_of(options), reading.inputs);
    const auto add_others = [&](const ReadCard& card) {
        add_inputs(record, card.others, reading.inputs);
        add_examples(record, card.others, reading.inputs);
    };
    std::ranges::for_each(cards, add_others);
    if (against) add_others(*against);
    return record;
}

/// `spectrum_like` looks for other cards in them.
std::set<std::string> folders_of(const ReviewOptions& options) {
    std::set<std::string> folders;
    for (const std::string& card : options.cards)
        folders.insert(files::folder_of(card));
    if (options.against) folders.insert(files::folder_of(*options.against));
    return folders;
}

/// Of the cards that are reviewed together one may stand for another.
void add_superseded(const std::vector<Sequence>& cards, SequenceReview& review) {
    if (superseded_by(review.sequence, cards).empty()) return;
    std::erase_if(review.checks,
                  [](const ReviewCheck& check) { return check.code == CheckCode::Validity; });
    review.checks.push_back(*check_of_validity(review.sequence, cards, ""));
}

report::ReviewReport report_of(const ReviewOptions& options, const ReviewTerms& terms,
                               const Reading& reading, const std::vector<ReadCard>& cards,
                               const std::optional<ReadCard>& against) {
    report::ReviewReport report{.terms = &terms, .cards = {}};
    if (options.protectors) report.protectors = reading.source(*options.protectors);
    if (against)
        report.against = {review(against->sequence, terms, tracing(options.output)), against->file};
    std::vector<Sequence> all;
    for (const ReadCard& card : cards)
        all.push_back(card.sequence);
    for (const ReadCard& card : cards) {
        report.cards.push_back({review(card.sequence, terms, tracing(options.output)), card.file});
        add_superseded(all, report.cards.back().review);
        if (!against) continue;
        if (auto timing = check_of_timing(card.sequence, against->sequence))
            report.cards.back().review.checks.push_back(*std::move(timing));
    }
    return report;
}

}  // namespace

ExitStatus run_review(const ReviewOptions& options) {
    check_output(options.output);
    ReviewTerms terms = review_terms(options);
    terms.draws.seed = options.output.seed_of_draws();
    terms.date = options.output.date.value_or(today());
    Reading reading;
    const std::vector<ReadCard> cards = read_cards(options.cards, reading);
    std::optional<ReadCard> against;
    reading.errors.attempt([&] {
        if (options.against) against = read_card(*options.against, reading);
    });
    reading.errors.attempt([&] {
        if (!options.protectors) return;
        terms.catalogue = files::read_protector_catalogue(*options.protectors, reading.inputs);
    });
    reading.errors.throw_if_any();
    check_output_is_no_input(options.output, {inputs_of(options), folders_of(options)});
    std::vector<std::string> ids;
    for (const ReadCard& card : cards)
        ids.push_back(card.sequence.id);
    const report::WorkingFor wanted =
        working_for_review(options.output, ids, terms.policy.criteria);
    const SizeOf<AskedOfCards> size = [](const AskedOfCards& of) {
        return size_of_review(of.cards, of.terms, of.asked);
    };
    const AskedOfCards asked{cards.size() + (against ? 1 : 0), terms, report_asked(options.output)};
    report::ReviewReport report{.terms = &terms, .cards = {}};
    const std::string file = options.protectors.value_or(options.cards.front());
    const std::string text = watched(asked, size, file, [&] {
        report = report_of(options, terms, reading, cards, against);
        report.record = record_of(options, reading, cards, against);
        report.record.draws = terms.draws;
        report.record.working_for = wanted;
        return in_format(
            options.output, [&] { return report::review_json(report); },
            [&] { return report::review_document(report, telling(options.output)); },
            report::review_csv);
    });
    deliver(text, options.output);
    const auto approved = [](const report::ReviewedCard& card) {
        return card.review.recommendation.approves();
    };
    return std::ranges::all_of(report.cards, approved) ? computed : over_or_unknown;
}

}  // namespace earbudget::cli
