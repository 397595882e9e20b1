#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/html/charts.hpp"
#include "report/html/markup.hpp"
#include "report/html/plot.hpp"
#include "report/html/table.hpp"

namespace earbudget::report::html {

namespace {

constexpr double row_height = 18.0;

std::string name_of_share(const Plan& plan, const Share& share) {
    return share.sequence ? plan.sequences[*share.sequence].id : std::string("no sequence");
}

}  // namespace

std::string share_figure(std::string_view id, const Plan& plan, const PersonResult& person) {
    const auto& shares = person.sequence_shares;
    if (shares.empty()) return "";
    const double height = row_height * static_cast<double>(shares.size());
    const std::string words =
        fmt::format("Share of the day's sound energy at the ear by sequence; {} has {}.",
                    name_of_share(plan, shares.front()), percent_text(shares.front().percent));
    Plot plot(std::string(id), person.person->id + ": share by sequence", words,
              {.height = height + 46.0, .left = 112.0, .right = 54.0, .top = 4.0, .bottom = 42.0},
              {.from = 0.0, .to = 100.0, .title = "share, %"}, {.from = height, .to = 0.0});
    plot.number_x();
    Table table(person.person->id + ": share by sequence",
                {{"sequence"}, {"share", true}, {"LEX,8h falls without it by", true}});
    double y = 0.0;
    for (const Share& share : shares) {
        const std::string name = name_of_share(plan, share);
        plot.bar(plot.px(0.0), plot.px(share.percent), plot.py(y + 2.5),
                 plot.py(y + row_height - 2.5), "share",
                 data("value", share.percent) + data("series", name));
        plot.words(plot.frame().left - 5.0, plot.py(y + 13.0), "end",
                   fitting(name, plot.frame().left - 7.0));
        plot.words(plot.px(share.percent) + 4.0, plot.py(y + 13.0), "start",
                   percent_text(share.percent), "s");
        table.row({text(name), percent_text(share.percent),
                   share.drop ? fmt::format("{:.1f} dB", share.drop->dB()) : "nothing is left"});
        y += row_height;
    }
    return figure(words, plot.markup(), table.markup());
}

}  // namespace earbudget::report::html
