#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/deliver.hpp"
#include "cli/record_of.hpp"
#include "cli/review_terms.hpp"
#include "cli/working_for.hpp"
#include "files/protector_catalogue.hpp"
#include "files/sequence_folder.hpp"
#include "files/sha256.hpp"
#include "report/review_page.hpp"
#include "report/review_report.hpp"

namespace earbudget::cli {

namespace {

report::SourceFile source_of_file(const std::string& path) {
    return {path, files::sha256_of_file(path)};
}

/// A card to be reviewed later, so that nothing is computed before every file is read.
struct ReadCard {
    Sequence sequence;
    report::SourceFile file;
};

ReadCard read_card(const std::string& path) {
    return {files::read_sequence_card_in_folder(path), source_of_file(path)};
}

std::vector<ReadCard> read_cards(const std::vector<std::string>& paths, files::ErrorList& errors) {
    std::vector<ReadCard> cards;
    std::map<std::string, std::string> path_of_id;
    for (const std::string& path : paths) {
        errors.attempt([&] {
            ReadCard card = read_card(path);
            const auto [known, is_new] = path_of_id.emplace(card.sequence.id, path);
            if (!is_new) {
                throw InputError({path}, fmt::format("the id \"{}\" is also that of \"{}\"; "
                                                     "accepted: each id on one card",
                                                     card.sequence.id, known->second));
            }
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

/// `spectrum_like` looks for other cards in them.
std::set<std::string> folders_of(const ReviewOptions& options) {
    std::set<std::string> folders;
    for (const std::string& card : options.cards)
        folders.insert(folder_of(card));
    if (options.against) folders.insert(folder_of(*options.against));
    return folders;
}

report::ReviewReport report_of(const ReviewOptions& options, const ReviewTerms& terms,
                               const std::vector<ReadCard>& cards,
                               const std::optional<ReadCard>& against) {
    report::ReviewReport report{.terms = &terms, .cards = {}};
    if (options.protectors) report.protectors = source_of_file(*options.protectors);
    if (against) report.against = {review(against->sequence, terms), against->file};
    for (const ReadCard& card : cards) {
        report.cards.push_back({review(card.sequence, terms), card.file});
        if (!against) continue;
        if (auto timing = check_of_timing(card.sequence, against->sequence))
            report.cards.back().review.checks.push_back(*std::move(timing));
    }
    return report;
}

std::string text_of_report(const ReviewOptions& options, const report::ReviewReport& report) {
    if (options.output.format == "json") return report::review_json(report);
    if (options.output.format == "html") return report::review_page(report);
    return report::review_text(report, text_style_for(options.output));
}

}  // namespace

ExitStatus run_review(const ReviewOptions& options) {
    check_output(options.output);
    static_cast<void>(report_date(options.output));  // a wrong one is refused before anything else
    ReviewTerms terms = review_terms(options);
    terms.draws.seed = options.output.seed_of_draws();
    files::ErrorList errors;
    const std::vector<ReadCard> cards = read_cards(options.cards, errors);
    std::optional<ReadCard> against;
    errors.attempt([&] {
        if (options.against) against = read_card(*options.against);
    });
    errors.attempt([&] {
        if (options.protectors)
            terms.catalogue = files::read_protector_catalogue(*options.protectors);
    });
    errors.throw_if_any();
    check_output_is_no_input(options.output, {inputs_of(options), folders_of(options)});
    std::vector<std::string> ids;
    for (const ReadCard& card : cards)
        ids.push_back(card.sequence.id);
    const WorkingFor wanted = working_for_review(options.output, ids, terms.policy.criteria);
    report::ReviewReport report = report_of(options, terms, cards, against);
    report.record = record_of(options.output, inputs_of(options));
    report.record.draws = terms.draws;
    report.record.working_for = wanted;
    deliver(text_of_report(options, report), options.output);
    const auto approved = [](const report::ReviewedCard& card) {
        return card.review.recommendation.approves();
    };
    return std::ranges::all_of(report.cards, approved) ? computed : over_or_unknown;
}

}  // namespace earbudget::cli
