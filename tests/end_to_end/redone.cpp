#include "redone.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <vector>

namespace earbudget::test {

namespace {

using nlohmann::json;
using Redo = std::function<double(const json& values)>;

double energy(double level) { return std::pow(10.0, level / 10.0); }
double level(double energy) { return 10.0 * std::log10(energy); }
double get(const json& values, const char* name) { return values.at(name).get<double>(); }

/// Σ t·10^(L/10) over the rows with sound.
double energy_time(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows")) {
        if (!row.at("L_dB").is_null()) sum += energy(get(row, "L_dB")) * get(row, "t_s");
    }
    return sum;
}

double total_time(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows"))
        sum += get(row, "t_s");
    return sum;
}

double dose(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows")) {
        if (row.at("L_dB").is_null()) continue;
        const double L = get(row, "L_dB");
        const json& threshold = values.at("threshold_dB");
        if (!threshold.is_null() && L < threshold.get<double>() - 1e-9) continue;
        const double T = 3600.0 * get(values, "hours") /
                         std::exp2((L - get(values, "level_dB")) / get(values, "exchange_dB"));
        sum += get(row, "C_s") / T;
    }
    return 100.0 * sum;
}

double octaves(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows")) {
        const double LA =
            row.at("Lf_dB").is_null() ? get(row, "LA_dB") : get(row, "Lf_dB") + get(row, "Af_dB");
        sum += energy(LA - (get(row, "mean_dB") - get(values, "alpha") * get(row, "sd_dB")));
    }
    return level(sum);
}

double hml(const json& values) {
    const double above = get(values, "LC_dB") - get(values, "LA_dB") - 2.0;
    const double H = get(values, "H_dB");
    const double M = get(values, "M_dB");
    const double L = get(values, "L_dB");
    const double PNR = above <= 0.0 ? M - (H - M) / 4.0 * above : M - (M - L) / 8.0 * above;
    return get(values, "LA_dB") - PNR;
}

double bands(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows"))
        sum += energy(get(row, "LA_dB") - get(row, "APV_dB"));
    return sum;
}

/// Mean of the PNR, and their sum weighted by d.
double regression(const json& values, double slope) {
    double mean = 0.0;
    double weighted = 0.0;
    for (const json& row : values.at("rows")) {
        mean += 0.25 * get(row, "PNR_dB");
        weighted += get(row, "d") * get(row, "PNR_dB");
    }
    return mean + slope * weighted;
}

double longest_time(const json& values) {
    double longest = get(values, "most_s");
    for (const json& row : values.at("rows")) {
        const double left = get(row, "limit") - get(row, "others");
        if (get(row, "rate_per_s") > 0.0)
            longest = std::min(longest, left / get(row, "rate_per_s"));
    }
    return longest == get(values, "most_s") ? longest : std::floor(longest * 1000.0) / 1000.0;
}

double runs_left(const json& values) {
    if (values.at("longest_s").is_null()) return 0.0;
    const double left = get(values, "longest_s") - get(values, "now_s") + 0.001;
    return std::max(0.0, std::floor(left / get(values, "run_s")));
}

double normal(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

double without_background(const json& values) {
    const double L1 = get(values, "L1_dB");
    const double L2 = get(values, "L2_dB");
    return L1 - L2 < 3.0 ? L1 : level(energy(L1) - energy(L2));
}

double rootsum(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows"))
        sum += get(row, "u_dB") * get(row, "u_dB");
    return std::sqrt(sum);
}

double fitted(const json& v) {
    const double reduction = get(v, "reduction_dB");
    return get(v, "LA_dB") - (v.at("fit") == "poor" ? std::min(reduction, 10.0) : reduction);
}

double nrr_with_A(const json& v) {
    return get(v, "LA_dB") -
           get(v, "factor_at_end") *
               (get(v, "factor") * get(v, "NRR_dB") - get(v, "allowance_dB")) -
           get(v, "pair_dB");
}

double csa_with_A(const json& v) {
    return get(v, "LA_dB") -
           (get(v, "factor") * (get(v, "NRR_dB") + get(v, "pair_dB")) - get(v, "allowance_dB"));
}

/// By the beginning of the formula as it is printed.
const std::vector<std::pair<std::string, Redo>>& known() {
    static const std::vector<std::pair<std::string, Redo>> all = {
        {"T = Σ Ti", total_time},
        {"LAeq = 10 lg(1/T", [](const json& v) { return level(energy_time(v) / total_time(v)); }},
        {"LEX,", [](const json& v) { return level(energy_time(v) / 28800.0); }},
        {"LAeq,1h = ", [](const json& v) { return level(energy_time(v) / 3600.0); }},
        {"E = Σ", [](const json& v) { return energy_time(v) * 20e-6 * 20e-6 / 3600.0; }},
        {"D = 100", dose},
        {"margin = exchange",
         [](const json& v) {
             return get(v, "exchange_dB") *
                    std::log2(get(v, "limit_percent") / get(v, "D_percent"));
         }},
        {"margin = limit − value", [](const json& v) { return get(v, "limit") - get(v, "value"); }},
        {"margin = threshold",
         [](const json& v) { return get(v, "threshold_dB") - get(v, "L_dB"); }},
        {"margin = ceiling", [](const json& v) { return get(v, "ceiling_dB") - get(v, "L_dB"); }},
        {"L' = LA − reduction", fitted},
        {"L = 10 lg(w",
         [](const json& v) {
             return level(get(v, "w") * energy(get(v, "L'_dB")) +
                          (1.0 - get(v, "w")) * energy(get(v, "LA_dB")));
         }},
        {"reduction = LA − L'A",
         [](const json& v) {
             return std::max(0.0, get(v, "LA_dB") - get(v, "L'A_dB") - get(v, "deduction_dB"));
         }},
        {"reduction = LAeq",
         [](const json& v) { return get(v, "LAeq_dB") - get(v, "at_ear_LAeq_dB"); }},
        {"L'A = 10 lg Σ", octaves},
        {"PNR = M", hml},
        {"L'A = LC − SNR",
         [](const json& v) { return get(v, "LC_dB") - get(v, "SNR_dB") - get(v, "pair_dB"); }},
        {"L'A = LC − SLC80",
         [](const json& v) { return get(v, "LC_dB") - get(v, "SLC80_dB") - get(v, "pair_dB"); }},
        {"L'A = LA − PAR", [](const json& v) { return get(v, "LA_dB") - get(v, "PAR_dB"); }},
        {"L'A = LC − NRR(SF)",
         [](const json& v) { return get(v, "LC_dB") - get(v, "NRR_SF_dB") - get(v, "pair_dB"); }},
        {"L'A = LA − (NRR(SF)",
         [](const json& v) {
             return get(v, "LA_dB") - (get(v, "NRR_SF_dB") - 5.0) - get(v, "pair_dB");
         }},
        {"L'A = LC − factor at end",
         [](const json& v) {
             return get(v, "LC_dB") -
                    get(v, "factor_at_end") * get(v, "factor") * get(v, "NRR_dB") -
                    get(v, "pair_dB");
         }},
        {"L'A = LA − factor at end", nrr_with_A},
        {"L'A = LC − factor·(NRR",
         [](const json& v) {
             return get(v, "LC_dB") - get(v, "factor") * (get(v, "NRR_dB") + get(v, "pair_dB"));
         }},
        {"L'A = LA − (factor", csa_with_A},
        {"LC = 10 lg",
         [](const json& v) {
             double sum = 0.0;
             for (const json& row : v.at("rows"))
                 sum += energy(get(row, "Lf_dB") + get(row, "Cf_dB"));
             return level(sum);
         }},
        {"PNR = 100", [](const json& v) { return 100.0 - level(bands(v)); }},
        {"SNR = 100", [](const json& v) { return 100.0 - level(bands(v)); }},
        {"NRR = 107.9", [](const json& v) { return 107.9 - level(bands(v)) - 3.0; }},
        {"H = ", [](const json& v) { return regression(v, -0.48); }},
        {"M = ", [](const json& v) { return regression(v, -0.16); }},
        {"L = 0.25", [](const json& v) { return regression(v, 0.23); }},
        {"T = (limit", longest_time},
        {"floor((longest", runs_left},
        {"drop = LEX",
         [](const json& v) { return get(v, "LEX_8h_now_dB") - get(v, "LEX_8h_then_dB"); }},
        {"drop = −10", [](const json& v) { return -level(1.0 - get(v, "share_percent") / 100.0); }},
        {"P = Φ(−z)", [](const json& v) { return normal(-get(v, "z")); }},
        {"full-scale level = cal",
         [](const json& v) { return get(v, "calibrator_dB") - get(v, "tone_dB_re_full_scale"); }},
        {"L = 10 lg(10^(L1", without_background},
        {"LAE = ", [](const json& v) { return get(v, "LAeq_dB") + level(get(v, "T_s")); }},
        {"u = √", rootsum},
    };
    return all;
}

/// Where the working itself says that its formula alone does not decide.
bool is_beyond(const json& values) {
    return values.contains("above_a_level_never_permitted") ||
           (values.contains("z") && values.at("z").is_null());
}

}  // namespace

std::optional<double> redone(const json& step) {
    if (!step.at("result").is_number() || is_beyond(step.at("values"))) return std::nullopt;
    const std::string formula = step.at("formula");
    for (const auto& [begin, redo] : known()) {
        if (!formula.starts_with(begin)) continue;
        const double result = redo(step.at("values"));
        return step.at("values").contains("rounded_to_dB") ? std::round(result) : result;
    }
    return std::nullopt;
}

}  // namespace earbudget::test
