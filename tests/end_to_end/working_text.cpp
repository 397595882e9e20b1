// What the text prints of the working is enough to redo every figure to its last printed digit.
#include <cmath>
#include <regex>
#include <string>
#include <vector>

#include "redone_arithmetic.hpp"
#include "worked.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

/// Half of the last digit that a result is printed with: a ten-thousandth; seven digits of a very
/// large one, five of a small one, no finer than 1e-8.
double half_of_last_digit(double result) {
    const double size = std::abs(result);
    if (size >= 1e7) return 0.5 * std::pow(10.0, std::floor(std::log10(size)) - 6.0);
    if (size >= 0.01 || size < 1e-9) return 0.5e-4;
    return 0.5 * std::pow(10.0, -std::min(8.0, 4.0 - std::floor(std::log10(size))));
}

bool agree_to_last_digit(double redone, double printed) {
    return std::abs(redone - printed) <= half_of_last_digit(printed) * (1.0 + 1e-4);
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t end = std::min(text.find('\n', from), text.size());
        lines.push_back(text.substr(from, end - from));
        from = end + 1;
    }
    return lines;
}

std::vector<std::string> cells_of(const std::string& line) {
    static const std::regex cell("\\S+( \\S+)*");
    std::vector<std::string> cells;
    for (std::sregex_iterator at(line.begin(), line.end(), cell); at != std::sregex_iterator();
         ++at)
        cells.push_back(at->str());
    return cells;
}

/// The steps of a text's first working: the lines from its name to its result.
std::vector<std::vector<std::string>> steps_of(const std::string& text) {
    const std::size_t from = text.find('\n', text.find("\n  Working of ") + 1) + 1;
    std::vector<std::vector<std::string>> steps(1);
    for (const std::string& line : lines_of(text.substr(from))) {
        if (!line.starts_with("    ")) break;
        steps.back().push_back(line);
        if (line.starts_with("      = ")) steps.emplace_back();
    }
    steps.pop_back();
    return steps;
}

json as_number(const std::string& printed) {
    if (printed == "none") return nullptr;
    std::size_t read = 0;
    try {
        const double number = std::stod(printed, &read);
        if (read == printed.size()) return number;
    } catch (const std::exception&) {
        // a word
    }
    return printed;
}

/// The step of the JSON with every number replaced by the printed one.
json as_printed(json step, const std::vector<std::string>& lines) {
    std::string flat;
    for (const std::string& line : lines) {
        for (const std::string& cell : cells_of(line))
            flat += cell + " ";
    }
    json& values = step["values"];
    for (auto& [name, value] : values.items()) {
        if (!value.is_number()) continue;
        const std::string begin = name + " = ";
        const std::size_t at = flat.find(begin);
        CAPTURE(begin);
        REQUIRE(at != std::string::npos);
        const std::size_t from = at + begin.size();
        value = as_number(flat.substr(from, flat.find_first_of(", ", from) - from));
    }
    if (values.contains("rows") && !values["rows"].empty()) {
        const std::size_t rows = values["rows"].size();
        REQUIRE(lines.size() > rows + 1);
        const std::size_t first = lines.size() - 1 - rows;
        const auto columns = cells_of(lines[first - 1]);
        for (std::size_t n = 0; n < rows; ++n) {
            const auto cells = cells_of(lines[first + n]);
            REQUIRE(cells.size() == columns.size());
            for (std::size_t column = 0; column < cells.size(); ++column) {
                json& cell = values["rows"][n][columns[column]];
                if (!cell.is_string()) cell = as_number(cells[column]);
            }
        }
    }
    if (step["result"].is_number()) {
        std::string result = lines.back().substr(8);
        step["result"] = as_number(result.substr(0, result.find(' ')));
    }
    return step;
}

/// Figures in the rows of a step that follow from the others of their row.
void check_rows(const json& step) {
    const std::string formula = step["formula"];
    const json& values = step["values"];
    if (!values.contains("rows")) return;
    for (const json& row : values["rows"]) {
        CAPTURE(row.dump());
        const auto follows = [&](const char* column, double redone) {
            CAPTURE(std::string(column));
            CHECK(agree_to_last_digit(redone, get(row, column)));
        };
        if (formula.starts_with("L'A = 10 lg Σ") || formula.starts_with("R at the mean")) {
            const double z = formula.starts_with("R") ? get(values, "z0") : -get(values, "alpha");
            const double LA =
                row["Lf_dB"].is_null() ? get(row, "LA_dB") : get(row, "Lf_dB") + get(row, "Af_dB");
            const double APV = get(row, "mean_dB") + z * get(row, "sd_dB");
            follows("LA_dB", LA);
            follows("APV_dB", APV);
            follows(formula.starts_with("R") ? "left_dB" : "difference_dB", LA - APV);
            if (formula.starts_with("R")) follows("left_at_mean_dB", LA - get(row, "mean_dB"));
        }
        if (formula.starts_with("D = 100") && row["L_dB"].is_number()) {
            const double T = 3600.0 * get(values, "hours") /
                             std::exp2((get(row, "L_dB") - get(values, "level_dB")) /
                                       get(values, "exchange_dB"));
            follows("T_s", T);
            const bool counts =
                values["threshold_dB"].is_null() || get(row, "L_dB") >= get(values, "threshold_dB");
            follows("percent", counts ? 100.0 * get(row, "C_s") / T : 0.0);
        }
        if (formula.starts_with("x = 10") && row["unreduced_dB"].is_null()) {
            double all = 0.0;
            for (const json& other : values["rows"])
                all += get(other, "t_s") * mean_energy(other);
            const double w = get(row, "w");
            const double t = get(row, "t_s");
            follows("through", t * w * energy(get(row, "L_dB") - get(row, "R_dB")) / all);
            follows("without", t * (1.0 - w) * energy(get(row, "L_dB")) / all);
        }
    }
}

/// Formulas that no pocket calculator redoes from the step alone: what is counted, searched or
/// found by halving, as it says itself, and what is taken as stated.
bool is_no_arithmetic(const std::string& formula) {
    for (const char* begin :
         {"the smallest value", "the most with", "the least", "the largest n", "T: ", "T found",
          "the longest", "as the criterion", "the highest peak", "P = the largest",
          "floor(longest time", "days = ceil", "the most runs", "u = the larger of"}) {
        if (formula.starts_with(begin)) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("working: every figure of the demo is redone from the printed text to its last digit") {
    int redone_steps = 0;
    const json whole = worked({"assess", demo + "/plan.toml"});
    for (const json& person : whole["people"]) {
        const std::string id = person["id"];
        CAPTURE(id);
        const Outcome outcome = run_program(
            {"assess", demo + "/plan.toml", "--working-for", id, "--date", "2026-02-28"}, "/");
        const auto steps = steps_of(outcome.output);
        REQUIRE(steps.size() == person["working"].size());
        for (std::size_t n = 0; n < steps.size(); ++n) {
            const json& full = person["working"][n];
            CAPTURE(full.dump(1));
            const json step = as_printed(full, steps[n]);
            check_rows(step);
            if (!step["result"].is_number()) continue;
            const double printed_result = step["result"];
            CHECK(agree_to_last_digit(full["result"], printed_result));
            const auto again = redone(step);
            const bool can_be_redone = again || is_no_arithmetic(step["formula"]) ||
                                       step["values"].contains("above_a_level_never_permitted");
            CHECK(can_be_redone);
            if (!again) continue;
            ++redone_steps;
            CAPTURE(*again);
            // A time is rounded down to a thousandth of a second, at which either side may fall.
            if (step["unit"] == "s" && std::abs(*again - printed_result) < 0.0011) continue;
            CHECK(agree_to_last_digit(*again, printed_result));
        }
    }
    CHECK(redone_steps > 300);
}

TEST_CASE("working: the parts of the uncertainty and the bands behind R at the mean are there") {
    const json whole = worked({"assess", demo + "/plan.toml", "--working-for", "niosh-rel"});
    int parts = 0;
    for (const json& person : whole["people"]) {
        if (person["criteria"][0]["id"] != "niosh-rel") continue;
        const json& working = person["working"];
        // Nothing that counts, nothing to be uncertain of.
        if (person["criteria"][0]["first_order"].is_null()) continue;
        const auto& listed = person["criteria"][0]["first_order"]["parts"];
        CHECK(redone_with(working, "ui = √") == static_cast<int>(listed.size()));
        parts += static_cast<int>(listed.size());
        if (person["wears"].empty()) continue;
        // One a sound: bands with level, weighting, mean, deviation, what is left.
        CHECK(redone_with(working, "R at the mean") >= 6);
        CHECK(redone_with(working, "dR/dz") >= 6);
        // The size of the error between people is dR/dz.
        double slope = 0.0;
        for (const json& step : working) {
            if (step["what"] == "dR/dz, between people, epi-2mm") slope = step["result"];
        }
        bool found = false;
        for (const json& step : working) {
            if (!step["what"].get<std::string>().ends_with("by attenuation between people"))
                continue;
            for (const json& row : step["values"]["rows"])
                found = found || (row["row"] == "epi-2mm" && row["size"] == slope);
        }
        CHECK(found);
    }
    CHECK(parts >= 4);
}
