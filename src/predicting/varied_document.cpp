#include <array>

#include <fmt/format.h>

#include "predicting/predicted_figures.hpp"
#include "predicting/prediction.hpp"
#include "report/text_style.hpp"

namespace earbudget::predicting {

namespace {

std::string what_varies(const Varied& varied) {
    return varied.request.stretch == TimingChange::Time
               ? "everything lasts longer by the scale, with the same gradients and smaller slews"
               : "plateaus of gradients last longer or shorter by the scale, with the same "
                 "gradients and slews";
}

std::string resonances_words(const Varied& varied) {
    constexpr std::array names = {"x", "y", "z"};
    std::string text;
    for (const Resonance& each : varied.resonances)
        text += fmt::format("{}{} {:.0f} Hz", text.empty() ? "Resonances: " : ", ",
                            names[each.axis], each.frequency.Hz());
    return text.empty() ? "No resonance is known." : text + ".";
}

report::Table table_of_scales(const Varied& varied) {
    report::Table table{.name = "Level over the scale",
                        .columns = {{"scale", "scale", "", 3},
                                    {"LAeq_dB", "LAeq", "dB(A)"},
                                    {"strongest_Hz", "slew strongest at", "Hz", 0}}};
    for (const VariedLevel& each : varied.levels) {
        table.rows.push_back({report::list_of<report::Cell>(
            each.scale,
            report::Cell(each.LAeq ? std::optional(each.LAeq->dB()) : std::nullopt, "none"),
            report::Cell(each.strongest ? std::optional(each.strongest->Hz()) : std::nullopt,
                         "-"))});
    }
    return table;
}

}  // namespace

std::string quieter_words(const Varied& varied) {
    if (!varied.has_stretched)
        return "No scale is quieter: nothing of it could be stretched, since no gradient stands "
               "still at a value other than zero.";
    if (varied.quieter.empty())
        return fmt::format(
            "Between {:.2f} and {:.2f} no scale is 1 dB quieter than the file as it "
            "is.",
            varied.levels.front().scale, varied.levels.back().scale);
    std::string text = "Quieter than the file as it is would be";
    for (const QuieterScale& each : varied.quieter)
        text += fmt::format("{} scale {:.3f}: {:.1f} dB",
                            &each == &varied.quieter.front() ? "" : ",", each.scale, each.by.dB());
    return text + "; none of these is recommended.";
}

void add_varied(const Varied& varied, report::Document& document) {
    report::Section section{
        "varied",
        "What a change of timing would do",
        {{report::Paragraph{std::string(caution_on_varying)}},
         {report::Paragraph{fmt::format("Here {}; of the file the first {:.0f} s.",
                                        what_varies(varied), varied.listened.count())}},
         {report::Paragraph{resonances_words(varied)}},
         {table_of_scales(varied), report::Medium::Text},
         {report::Figure{[&varied] { return varied_figure(varied); }}, report::Medium::Page}}};
    document.sections.push_back(std::move(section));
}

}  // namespace earbudget::predicting
