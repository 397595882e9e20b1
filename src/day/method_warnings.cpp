#include "day/method_warnings.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include <fmt/format.h>

#include "earbudget/day/methods.hpp"

namespace earbudget {

namespace {

std::string quoted(const std::vector<std::string>& wears) {
    return fmt::format("\"{}\"", fmt::join(wears, "\" with \""));
}

std::string words_of(const Prediction& prediction) {
    const std::string_view form = words_of(prediction.form);
    return fmt::format("{}{}{}", name_of(prediction.method), form.empty() ? "" : " ", form);
}

/// The rows of sequences that a method reaches, each sequence once.
std::vector<const HeardRow*> predicted_sequences(const WornDuring& worn) {
    std::vector<const HeardRow*> rows;
    std::set<std::size_t> seen;
    for (const HeardRow* row : worn.rows) {
        if (row->sequence && row->prediction && seen.insert(*row->sequence).second) {
            rows.push_back(row);
        }
    }
    return rows;
}

/// How a form came about, what it is worth and what would be better.
std::string words_of_form(const HeardRow& row, std::string_view wears) {
    const Prediction& prediction = *row.prediction;
    const double u = prediction.form_uncertainty.dB();
    if (prediction.form == MethodForm::SpectrumLike) {
        return fmt::format(
            "octave bands are those of \"{}\", shifted to this LAeq: {} under {} counts with a "
            "standard uncertainty of {:.1f} dB more, the spread of the reduction over all cards "
            "with bands, at least {:.0f} dB (own choice); enter [levels.octave] as measured",
            row.sound->borrowed->card, name_of(prediction.method), wears, u,
            least_uncertainty_of_borrowed_spectrum.dB());
    }
    std::string text = fmt::format("LAeq alone is known, so that {} under {} is used {} ({})",
                                   name_of(prediction.method), wears, words_of(prediction.form),
                                   source_of(prediction.method, prediction.form));
    if (prediction.reduction_by_M) {
        text += fmt::format(": {:.1f} dB; by M, without strong low frequencies, {:.1f} dB",
                            prediction.reduction.dB(), prediction.reduction_by_M->dB());
    }
    text += fmt::format(
        ". Its standard uncertainty, {:.1f} dB, is that of LC − LA anywhere from {:.0f} to {:.0f} "
        "dB (own choice); enter LCeq or [levels.octave], or spectrum_like with a card that sounds "
        "alike",
        u, range_of_C_minus_A(row.sound->low_frequency).lowest.dB(),
        range_of_C_minus_A(row.sound->low_frequency).highest.dB());
    if (!row.sound->low_frequency) {
        text += ", or low_frequency = false where low frequencies are not strong";
    }
    return text;
}

}  // namespace

void warn_of_lowered(const WornDuring& worn, std::vector<Warning>& warnings) {
    const auto rows = predicted_sequences(worn);
    if (rows.empty()) return;
    const auto better = [&](const HeardRow* one, const HeardRow* other) {
        return is_better(one->prediction->method, other->prediction->method, worn.attenuation);
    };
    const Method best = (*std::ranges::min_element(rows, better))->prediction->method;
    for (const HeardRow* row : rows) {
        if (row->prediction->method == best) continue;
        const auto lacking = find_obstacle(best, *row->sound, worn.attenuation, {});
        if (!lacking) continue;
        const Sequence& card = worn.plan.sequences[*row->sequence];
        warnings.push_back({"card-lacks-data",
                            fmt::format("\"{}\" under {} is predicted by {}, others by {}: it {}",
                                        card.id, quoted(worn.wears), words_of(*row->prediction),
                                        name_of(best), lacking->text),
                            card.stated_at});
    }
}

void warn_of_forms(const WornDuring& worn, std::vector<Warning>& warnings) {
    // Those alike are one warning, at the first card.
    std::vector<std::tuple<std::string, std::vector<std::string>, SourcePosition>> said;
    for (const HeardRow* row : predicted_sequences(worn)) {
        const MethodForm form = row->prediction->form;
        if (form != MethodForm::SpectrumLike && !is_check(form)) continue;
        const Sequence& card = worn.plan.sequences[*row->sequence];
        std::string text = words_of_form(*row, quoted(worn.wears));
        const auto same = std::ranges::find_if(
            said, [&](const auto& other) { return std::get<0>(other) == text; });
        if (same == said.end()) {
            said.emplace_back(std::move(text), std::vector{card.id}, card.stated_at);
        } else {
            std::get<1>(*same).push_back(card.id);
        }
    }
    for (const auto& [text, ids, where] : said) {
        warnings.push_back({"spectrum-not-known",
                            fmt::format("\"{}\": {}", fmt::join(ids, "\", \""), text), where});
    }
}

void warn_of_label(const WornDuring& worn, std::vector<Warning>& warnings) {
    const auto row = std::ranges::find_if(worn.rows, [](const HeardRow* each) {
        return each->prediction && each->prediction->asked_of_label;
    });
    if (row == worn.rows.end()) return;
    const ProtectionPerformance asked = *(*row)->prediction->asked_of_label;
    const double of_labels = ProtectionPerformance().percent();
    const std::string meaning =
        asked.is_above_labels()
            ? fmt::format(
                  "{:g} % of people would have less, so that the level at the ear is too "
                  "low for them",
                  asked.percent())
            : fmt::format("{:g} % of people have at least that", asked.percent());
    warnings.push_back(
        {"label-for-84-percent",
         fmt::format("the rating of {} is that of its label, which holds for {:g} % of people: {}; "
                     "enter frequency, mean and sd to have it for {:g} %",
                     quoted(worn.wears), of_labels, meaning, asked.percent()),
         worn.plan.catalogue.find(worn.wears.front())->stated_at});
}

void warn_of_unreached(HearingDay& day) {
    for (const Unreached& unreached : day.unreached) {
        if (!unreached.sequence) continue;  // rooms and other noise have warnings of their own
        day.warnings.push_back({unreached.protector ? "protector-lacks-data" : "card-lacks-data",
                                fmt::format("{} unreduced at the ear under {}: {}", unreached.name,
                                            unreached.wears, unreached.text),
                                unreached.where});
    }
}

}  // namespace earbudget
