#include "redone.hpp"

#include <cmath>
#include <functional>
#include <utility>
#include <vector>

#include "redone_arithmetic.hpp"

namespace earbudget::test {

namespace {

using Redo = std::function<double(const json& values)>;

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
        {"reduction = M − Ks",
         [](const json& v) {
             const double usual = get(v, "M_dB") - get(v, "Ks_dB");
             const double low = get(v, "L_dB") - get(v, "Ks_dB") - 5.0;
             const std::string form = v.at("low_frequency");
             const double counted = form.starts_with("low")      ? low
                                    : form.starts_with("not of") ? usual
                                                                 : std::min(usual, low);
             return std::max(0.0, counted);
         }},
        {"L = LAeq + above",
         [](const json& v) {
             return get(v, "LAeq_dB") + get(v, "above_dB") + 1.64 * get(v, "u_dB") +
                    get(v, "difference_dB") + get(v, "unweighted_dB");
         }},
        {"reduction = LAeq",
         [](const json& v) { return get(v, "LAeq_dB") - get(v, "at_ear_LAeq_dB"); }},
        {"L'A = 10 lg Σ", octaves},
        {"PNR = M", hml},
        {"PNR = L", hml_beyond},
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
        {"P = Φ(x/u)",
         [](const json& v) {
             const double u = get(v, "u_dB");
             const double x = get(v, "x_dB");
             if (u == 0.0) return x > 0.0 ? 1.0 : 0.0;
             return normal(x / u);
         }},
        {"P = draws", [](const json& v) { return get(v, "draws_over") / get(v, "draws"); }},
        {"x = q", mean_dose},
        {"x = 10", [](const json& v) { return mean_level(v) - get(v, "limit"); }},
        {"x = the highest", [](const json& v) { return mean_loudest(v) - get(v, "limit"); }},
        {"full-scale level = cal",
         [](const json& v) { return get(v, "calibrator_dB") - get(v, "tone_dB_re_full_scale"); }},
        {"L = 10 lg(10^(L1", without_background},
        {"LAE = ", [](const json& v) { return get(v, "LAeq_dB") + level(get(v, "T_s")); }},
        {"u = √", rootsum},
        {"ui = √", part_of_uncertainty},
        {"R at the mean", mean_reduction},
        {"dR/dz = Σ", slope_between_people},
        {"u = |R2 − R1|",
         [](const json& v) {
             return std::abs(get(v, "R2_dB") - get(v, "R1_dB")) / std::sqrt(12.0);
         }},
        {"the highest of all rows of LCpeak",
         [](const json& v) {
             double highest = -1000.0;
             for (const json& row : v.at("rows")) {
                 const bool bound = !row.at("bound_dB").is_null();
                 highest =
                     std::max(highest, bound ? get(row, "bound_dB")
                                             : get(row, "LCpeak_dB") - get(row, "reduction_dB"));
             }
             return highest;
         }},
        {"reduction by M",
         [](const json& v) { return std::max(get(v, "M_dB") - get(v, "deduction_dB"), 0.0); }},
        {"Σ of the shares",
         [](const json& v) {
             double sum = 0.0;
             for (const json& row : v.at("rows"))
                 sum += get(row, "share_percent");
             return sum;
         }},
        {"L there = L at the ear position + difference",
         [](const json& v) {
             return with_background(v, get(v, "at_ear_position_dB") + get(v, "difference_dB"));
         }},
        {"L there = L at the ear position + 10 lg", there_by_bands},
        {"L = LA", [](const json& v) { return get(v, "LA_dB"); }},
        {"L = 20 lg(p", [](const json& v) { return 20.0 * std::log10(get(v, "p_Pa") / 20e-6); }},
        {"E = visits", [](const json& v) { return get(v, "visits") * get(v, "E_Pa2h"); }},
        {"speech at the ear",
         [](const json& v) { return get(v, "speech_dB") - get(v, "residual_dB"); }},
    };
    return all;
}

/// Where the working itself says that its formula alone does not decide.
bool is_beyond(const json& values) { return values.contains("above_a_level_never_permitted"); }

}  // namespace

std::optional<double> redone(const json& step) {
    if (!step.at("result").is_number() || is_beyond(step.at("values"))) return std::nullopt;
    const std::string formula = step.at("formula");
    for (const auto& [begin, redo] : known()) {
        if (!formula.starts_with(begin)) continue;
        // The label stands for it.
        if (step.at("values").contains("held_at_label_dB"))
            return get(step.at("values"), "held_at_label_dB");
        const double result = redo(step.at("values"));
        return step.at("values").contains("rounded_to_dB") ? std::round(result) : result;
    }
    return std::nullopt;
}

}  // namespace earbudget::test
