#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

#include <nlohmann/json.hpp>

namespace earbudget::test {

using nlohmann::json;

// The arithmetic of a reader with a pocket calculator, from the printed values of a step.

inline double energy(double level) { return std::pow(10.0, level / 10.0); }
inline double level(double energy) { return 10.0 * std::log10(energy); }
inline double get(const json& values, const char* name) { return values.at(name).get<double>(); }

/// Σ t·10^(L/10) over the rows with sound.
inline double energy_time(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows")) {
        if (!row.at("L_dB").is_null()) sum += energy(get(row, "L_dB")) * get(row, "t_s");
    }
    return sum;
}

inline double total_time(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows"))
        sum += get(row, "t_s");
    return sum;
}

inline double dose(const json& values) {
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

/// Both levels of a row at the mean of every error, with the shares of the time that they have.
inline std::array<std::pair<double, double>, 2> mean_levels(const json& row) {
    const double w = get(row, "w");
    const double rest = row.at("unreduced_dB").is_null() ? 0.0 : energy(get(row, "unreduced_dB"));
    const double L = get(row, "L_dB");
    return {{{level(energy(L - get(row, "R_dB")) + rest), w}, {level(energy(L) + rest), 1.0 - w}}};
}

inline double mean_dose(const json& values) {
    const double q = get(values, "exchange_dB");
    double sum = 0.0;
    for (const json& row : values.at("rows")) {
        for (const auto& [L, share] : mean_levels(row)) {
            const json& threshold = values.at("threshold_dB");
            if (!threshold.is_null() && L < threshold.get<double>() - 1e-9) continue;
            sum += share * get(row, "t_s") * std::exp2((L - get(values, "level_dB")) / q);
        }
    }
    return q * std::log2(sum / (3600.0 * get(values, "hours")) * 100.0 / get(values, "limit"));
}

inline double mean_energy(const json& row) {
    double sum = 0.0;
    for (const auto& [L, share] : mean_levels(row))
        sum += share * energy(L);
    return sum;
}

inline double mean_level(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows"))
        sum += get(row, "t_s") / 28800.0 * mean_energy(row);
    return level(sum);
}

inline double mean_loudest(const json& values) {
    double highest = 0.0;
    for (const json& row : values.at("rows"))
        highest = std::max(highest, mean_energy(row));
    return level(highest);
}

inline double with_background(const json& values, double L) {
    return values.contains("background_dB")
               ? level(energy(L) + energy(get(values, "background_dB")))
               : L;
}

inline double there_by_bands(const json& values) {
    double here = 0.0;
    double there = 0.0;
    for (const json& row : values.at("rows")) {
        here += energy(get(row, "LA_dB"));
        there += energy(get(row, "LA_dB") + get(row, "difference_dB"));
    }
    return with_background(values, get(values, "at_ear_position_dB") + level(there) - level(here));
}

/// √(Σ n·(Σ c·size)²), the inner sum over the rows of one error.
inline double part_of_uncertainty(const json& values) {
    std::map<double, std::pair<double, double>> errors;  // by number: how many, sum
    for (const json& row : values.at("rows")) {
        auto& [n, sum] = errors[get(row, "error")];
        n = get(row, "n");
        sum += get(row, "c") * get(row, "size");
    }
    double variance = 0.0;
    for (const auto& [number, error] : errors)
        variance += error.first * error.second * error.second;
    return std::sqrt(variance);
}

inline double held(const json& values, double R) {
    return std::max(0.0, values.at("fit") == "poor" ? std::min(R, 10.0) : R);
}

/// R + 10 lg Σ 10^((LA − APV)/10) − 10 lg Σ 10^((LA − mean)/10).
inline double mean_reduction(const json& values) {
    if (!values.contains("rows")) {
        const double spread = values.contains("sd_dB") ? get(values, "sd_dB") : 0.0;
        const double z0 = values.contains("z0") ? get(values, "z0") : 0.0;
        return held(values, get(values, "R_dB") - z0 * spread);
    }
    double assumed = 0.0;
    double mean = 0.0;
    for (const json& row : values.at("rows")) {
        const double LA =
            row.at("Lf_dB").is_null() ? get(row, "LA_dB") : get(row, "Lf_dB") + get(row, "Af_dB");
        assumed += energy(LA - get(row, "mean_dB") - get(values, "z0") * get(row, "sd_dB"));
        mean += energy(LA - get(row, "mean_dB"));
    }
    return held(values, get(values, "R_dB") + level(assumed) - level(mean));
}

inline double slope_between_people(const json& values) {
    if (!values.contains("rows")) return get(values, "sd_dB");
    double all = 0.0;
    double weighted = 0.0;
    for (const json& row : values.at("rows")) {
        const double left = energy(get(row, "LA_dB") - get(row, "mean_dB"));
        all += left;
        weighted += left * get(row, "sd_dB");
    }
    return weighted / all;
}

inline double octaves(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows")) {
        const double LA =
            row.at("Lf_dB").is_null() ? get(row, "LA_dB") : get(row, "Lf_dB") + get(row, "Af_dB");
        sum += energy(LA - (get(row, "mean_dB") - get(values, "alpha") * get(row, "sd_dB")));
    }
    return level(sum);
}

inline double hml(const json& values) {
    const double above = get(values, "LC_dB") - get(values, "LA_dB") - 2.0;
    const double H = get(values, "H_dB");
    const double M = get(values, "M_dB");
    const double L = get(values, "L_dB");
    const double PNR = above <= 0.0 ? M - (H - M) / 4.0 * above : M - (M - L) / 8.0 * above;
    return get(values, "LA_dB") - PNR;
}

/// Beyond LC − LA of −2 to 10 dB at another performance than 84 %.
inline double hml_beyond(const json& values) {
    const double difference = get(values, "LC_dB") - get(values, "LA_dB");
    const double slope_high = (get(values, "H84_dB") - get(values, "M84_dB")) / 4.0;
    const double slope_low = (get(values, "M84_dB") - get(values, "L84_dB")) / 8.0;
    const double PNR = difference > 10.0 ? get(values, "L_dB") - slope_low * (difference - 10.0)
                                         : get(values, "H_dB") + slope_high * (-2.0 - difference);
    return get(values, "LA_dB") - PNR;
}

inline double bands(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows"))
        sum += energy(get(row, "LA_dB") - get(row, "APV_dB"));
    return sum;
}

/// Mean of the PNR, and their sum weighted by d.
inline double regression(const json& values, double slope) {
    double mean = 0.0;
    double weighted = 0.0;
    for (const json& row : values.at("rows")) {
        mean += 0.25 * get(row, "PNR_dB");
        weighted += get(row, "d") * get(row, "PNR_dB");
    }
    return mean + slope * weighted;
}

inline double longest_time(const json& values) {
    double longest = get(values, "most_s");
    for (const json& row : values.at("rows")) {
        const double left = get(row, "limit") - get(row, "others");
        if (get(row, "rate_per_s") > 0.0)
            longest = std::min(longest, left / get(row, "rate_per_s"));
    }
    return longest == get(values, "most_s") ? longest : std::floor(longest * 1000.0) / 1000.0;
}

inline double runs_left(const json& values) {
    if (values.at("longest_s").is_null()) return 0.0;
    const double left = get(values, "longest_s") - get(values, "now_s") + 0.001;
    return std::max(0.0, std::floor(left / get(values, "run_s")));
}

inline double normal(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

inline double without_background(const json& values) {
    const double L1 = get(values, "L1_dB");
    const double L2 = get(values, "L2_dB");
    return L1 - L2 < 3.0 ? L1 : level(energy(L1) - energy(L2));
}

/// By how much LAeq changes with what a part of its uncertainty acts on.
inline double sensitivity(const json& values, const std::string& part) {
    if (!values.contains("L1_minus_L2_dB")) return 1.0;
    const double distance = get(values, "L1_minus_L2_dB");
    if (part.find("background") != std::string::npos)
        return 1.0 / (energy(std::max(distance, 3.0)) - 1.0);
    const bool of_level = part.starts_with("steadiness") || part.ends_with("recording");
    return of_level && distance >= 3.0 && distance < 15.0 ? 1.0 / (1.0 - energy(-distance)) : 1.0;
}

inline double rootsum(const json& values) {
    double sum = 0.0;
    for (const json& row : values.at("rows"))
        sum +=
            std::pow(sensitivity(values, row.value("part", std::string())) * get(row, "u_dB"), 2.0);
    return std::sqrt(sum);
}

inline double fitted(const json& v) {
    const double reduction = get(v, "reduction_dB");
    return get(v, "LA_dB") - (v.at("fit") == "poor" ? std::min(reduction, 10.0) : reduction);
}

inline double nrr_with_A(const json& v) {
    return get(v, "LA_dB") -
           get(v, "factor_at_end") *
               (get(v, "factor") * get(v, "NRR_dB") - get(v, "allowance_dB")) -
           get(v, "pair_dB");
}

inline double csa_with_A(const json& v) {
    return get(v, "LA_dB") -
           (get(v, "factor") * (get(v, "NRR_dB") + get(v, "pair_dB")) - get(v, "allowance_dB"));
}

}  // namespace earbudget::test
