#include "predicting/varied.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string>

#include "earbudget/excitation/prediction.hpp"

namespace earbudget::predicting {

namespace {

/// Own choices: as many scales as a curve needs, and of each as much as a repetition lasts.
constexpr int scales_on_either_side = 16;
constexpr Seconds longest_listened{60.0};
constexpr double lowest_scale = 0.25;
constexpr double highest_scale = 4.0;
/// A difference that is worth naming.
constexpr LevelDifference least_quieter{1.0};
constexpr std::size_t most_quieter = 5;
constexpr std::size_t resonances_of_axis = 3;

std::optional<double> number_in(std::string_view text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
    if (!(value >= lowest_scale && value <= highest_scale)) return std::nullopt;
    return value;
}

/// Steps of one ratio on either side of 1, each side's within its own end.
std::vector<double> scales_of(const VaryRequest& request) {
    std::vector<double> scales;
    for (int n = scales_on_either_side; n > 0; --n) {
        if (request.from < 1.0)
            scales.push_back(
                std::pow(request.from, static_cast<double>(n) / scales_on_either_side));
    }
    scales.push_back(1.0);
    for (int n = 1; n <= scales_on_either_side; ++n) {
        if (request.to > 1.0)
            scales.push_back(std::pow(request.to, static_cast<double>(n) / scales_on_either_side));
    }
    return scales;
}

std::vector<QuieterScale> quieter_in(const std::vector<VariedLevel>& levels) {
    const auto as_it_is =
        std::ranges::find_if(levels, [](const VariedLevel& each) { return each.scale == 1.0; });
    std::vector<QuieterScale> quieter;
    if (as_it_is == levels.end() || !as_it_is->LAeq) return quieter;
    for (std::size_t n = 0; n < levels.size(); ++n) {
        const auto& here = levels[n].LAeq;
        if (!here || *as_it_is->LAeq - *here < least_quieter) continue;
        const bool below_before = n == 0 || (levels[n - 1].LAeq && *here < *levels[n - 1].LAeq);
        const bool below_next =
            n + 1 == levels.size() || (levels[n + 1].LAeq && *here <= *levels[n + 1].LAeq);
        if (below_before && below_next)
            quieter.push_back({levels[n].scale, *as_it_is->LAeq - *here});
    }
    std::ranges::sort(quieter, std::greater<>(),
                      [](const QuieterScale& each) { return each.by.dB(); });
    if (quieter.size() > most_quieter) quieter.resize(most_quieter);
    return quieter;
}

/// Louder than all within a tenth of the frequency on either side.
std::vector<Resonance> resonances_of(const ScannerResponse& response) {
    std::vector<Resonance> all;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const auto& lines = response.axes[axis].lines;
        std::vector<Resonance> found;
        for (std::size_t k = 10; k < lines.size(); ++k) {
            if (!lines[k]) continue;
            const double here = std::abs(lines[k]->Pa_per_T_per_m);
            bool loudest = true;
            for (std::size_t n = k - k / 10; n <= std::min(k + k / 10, lines.size() - 1); ++n) {
                if (n != k && lines[n] && std::abs(lines[n]->Pa_per_T_per_m) >= here)
                    loudest = false;
            }
            if (loudest) found.push_back({axis, static_cast<double>(k) * response.bin_width, here});
        }
        std::ranges::sort(found, std::greater<>(), &Resonance::Pa_per_T_per_m);
        if (found.size() > resonances_of_axis)
            found.erase(found.begin() + static_cast<std::ptrdiff_t>(resonances_of_axis),
                        found.end());
        all.insert(all.end(), found.begin(), found.end());
    }
    return all;
}

}  // namespace

std::optional<VaryRequest> parse_vary(std::string_view text) {
    const std::string_view what = text.substr(0, text.find(':'));
    VaryRequest request;
    if (what == "time") {
        request = {TimingChange::Time, 1.0, 1.3};
    } else if (what != "echo-spacing") {
        return std::nullopt;
    }
    if (what.size() < text.size()) {
        const std::string_view range = text.substr(what.size() + 1);
        const std::size_t colon = range.find(':');
        if (colon == range.npos) return std::nullopt;
        const auto from = number_in(range.substr(0, colon));
        const auto to = number_in(range.substr(colon + 1));
        // The sequence as it is lies between them.
        if (!from || !to || *from > 1.0 || *to < 1.0 || *from == *to) return std::nullopt;
        request.from = *from;
        request.to = *to;
    }
    if (request.stretch == TimingChange::Time && request.from < 1.0) return std::nullopt;
    return request;
}

Varied vary(WaveformSource& waveform, const ScannerResponse& response, const VaryRequest& request) {
    Varied varied{request, {}, {}, resonances_of(response), longest_listened, false};
    for (const double scale : scales_of(request)) {
        StretchedWaveform stretched(waveform, request.stretch, scale, longest_listened);
        const RoughSound sound = predict_roughly(stretched, response);
        varied.levels.push_back({scale, sound.LAeq, sound.strongest});
        varied.has_stretched |= stretched.has_stretched();
    }
    varied.quieter = quieter_in(varied.levels);
    return varied;
}

}  // namespace earbudget::predicting
