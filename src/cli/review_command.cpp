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
#include "responses/stored_response.hpp"

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
    if (options.predicted) inputs.push_back(*options.predicted);
    if (options.response) inputs.push_back(*options.response);
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
    if (options.predicted) folders.insert(files::folder_of(*options.predicted));
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

void check_predicted(const ReviewOptions& options) {
    if (options.response && !options.predicted) {
        throw UsageProblem("earbudget review: --response needs --predicted; accepted: both");
    }
    if (options.predicted && options.cards.size() != 1) {
        throw UsageProblem(
            "earbudget review: --predicted stands beside one card; accepted: the measured card "
            "alone");
    }
}

/// The reviewed card must be measured, the other predicted.
report::PredictedBeside predicted_beside(const ReadCard& predicted, const ReadCard& measured,
                                         const ReviewOptions& options) {
    if (predicted.sequence.origin.how != "predicted")
        throw InputError({predicted.file.path},
                         "the card is not predicted; accepted: one with how "
                         "= \"predicted\", as earbudget predict writes it");
    if (measured.sequence.origin.how != "measured")
        throw InputError({measured.file.path},
                         "the card is not measured, so that nothing can be "
                         "compared; accepted: one with how = \"measured\"");
    const SoundLevels& expected = predicted.sequence.levels;
    const SoundLevels& heard = measured.sequence.levels;
    report::PredictedBeside beside{.file = predicted.file,
                                   .sequence = measured.sequence.id,
                                   .LAeq = expected.LAeq - heard.LAeq};
    beside.uncertainty =
        UncertaintyParts{.instrument = stated_or_default_uncertainty(predicted.sequence).whole,
                         .position = stated_or_default_uncertainty(measured.sequence).whole}
            .combined();
    for (const OctaveBand band : octave_bands) {
        const auto one = expected.octave.at(band);
        const auto other = heard.octave.at(band);
        if (one && other) beside.octave[index_of(band)] = *one - *other;
    }
    beside.added_to = options.response;
    return beside;
}

/// The response file with the comparison at its end; everything else of it stays as it is.
files::OutputFile with_comparison(const report::PredictedBeside& beside,
                                  const std::string& response, const std::string& date,
                                  Reading& reading) {
    static_cast<void>(responses::read_response(response, reading.inputs));
    const responses::Comparison comparison{beside.sequence, date, beside.LAeq, beside.is_inside()};
    return {response,
            responses::with_comparison(reading.inputs.text(response, {response}), comparison)};
}

}  // namespace

ExitStatus run_review(const ReviewOptions& options) {
    check_output(options.output);
    check_predicted(options);
    ReviewTerms terms = review_terms(options);
    terms.draws.seed = options.output.seed_of_draws();
    terms.date = options.output.date.value_or(today());
    Reading reading;
    const std::vector<ReadCard> cards = read_cards(options.cards, reading);
    std::optional<ReadCard> against;
    reading.errors.attempt([&] {
        if (options.against) against = read_card(*options.against, reading);
    });
    std::optional<ReadCard> predicted;
    std::optional<report::PredictedBeside> beside;
    std::optional<files::OutputFile> grown;
    reading.errors.attempt([&] {
        if (!options.predicted || cards.size() != 1) return;
        predicted = read_card(*options.predicted, reading);
        beside = predicted_beside(*predicted, cards.front(), options);
        if (!options.response) return;
        files::check_can_write(*options.response, true);
        grown = with_comparison(*beside, *options.response, terms.date, reading);
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
        report.predicted = beside;
        return in_format(
            options.output, [&] { return report::review_json(report); },
            [&] { return report::review_document(report, telling(options.output)); },
            report::review_csv);
    });
    deliver(text, options.output);
    if (grown) files::OutputFiles({*grown}, /*force=*/true).move_to_places();
    const auto approved = [](const report::ReviewedCard& card) {
        return card.review.recommendation.approves();
    };
    return std::ranges::all_of(report.cards, approved) ? computed : over_or_unknown;
}

}  // namespace earbudget::cli
