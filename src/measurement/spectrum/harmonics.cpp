#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "earbudget/measurement/spectrum/tones.hpp"

namespace earbudget {

namespace {

constexpr double lowest_spacing = 15.0;  // Hz
constexpr double tolerance = 1.0;        // Hz, to which find_tones knows a frequency
constexpr double tolerance_re_spacing = 1.0 / 16.0;
constexpr double greatest_rms_re_tolerance = 0.4;  // chance members come to 0.58
constexpr std::size_t fewest_members = 3;
constexpr double missing_re_present = 0.5;  // what a gap in the series counts

/// Some tones as multiples of one spacing.
struct Series {
    double spacing;                 // Hz
    std::vector<unsigned> numbers;  // of each tone; 0: not a member
    double rms = 0.0;               // distance of members from their place, Hz

    // The range of numbers that holds most members and fewest gaps.
    double score = 0.0;
    std::size_t members = 0;
    unsigned lowest = 0;
    unsigned highest = 0;
};

double tolerance_of(double spacing) { return std::min(tolerance, tolerance_re_spacing * spacing); }

/// Numbers the tones and fits the spacing to them.
Series matched(std::span<const Tone> tones, double spacing) {
    Series series{spacing, {}};
    double product = 0.0;
    double square = 0.0;
    double sum = 0.0;
    std::size_t count = 0;
    for (const Tone& tone : tones) {
        const double hertz = tone.frequency.Hz();
        const double number = std::round(hertz / spacing);
        const double error = hertz - number * spacing;
        const bool member = number >= 1.0 && std::abs(error) <= tolerance_of(spacing);
        series.numbers.push_back(member ? static_cast<unsigned>(number) : 0U);
        if (!member) continue;
        product += number * hertz;
        square += number * number;
        sum += error * error;
        ++count;
    }
    if (count > 0) {
        series.spacing = product / square;
        series.rms = std::sqrt(sum / static_cast<double>(count));
    }
    return series;
}

/// The range of numbers with the highest count of members less gaps.
void score(Series& series) {
    double running = 0.0;
    unsigned start = 0;
    unsigned last = 0;
    std::size_t members = 0;
    for (const unsigned number : series.numbers) {
        if (number == 0 || number == last) continue;
        running -= missing_re_present * static_cast<double>(number - last - 1);
        if (last == 0 || running <= 0.0) {
            running = 0.0;
            members = 0;
            start = number;
        }
        running += 1.0;
        ++members;
        last = number;
        if (running > series.score) {
            series.score = running;
            series.members = members;
            series.lowest = start;
            series.highest = number;
        }
    }
}

/// True if with one number more or fewer for each tone the series would fit just as well.
bool is_ambiguous(const Series& series) {
    const double half_span = 0.5 * static_cast<double>(series.highest - series.lowest);
    const double misfit = half_span * series.spacing / static_cast<double>(series.highest);
    return misfit <= tolerance_of(series.spacing);
}

/// How many tones lie within the range of a series, members and others.
std::size_t tones_among(std::span<const Tone> tones, const Series& series) {
    const double from = (series.lowest - 0.5) * series.spacing;
    const double to = (series.highest + 0.5) * series.spacing;
    return static_cast<std::size_t>(std::count_if(
        tones.begin(), tones.end(),
        [&](const Tone& tone) { return tone.frequency.Hz() > from && tone.frequency.Hz() < to; }));
}

/// True if chance would hardly make such a series of these tones.
bool is_sound(const Series& series, std::span<const Tone> tones) {
    if (series.members < fewest_members) return false;
    if (series.rms > greatest_rms_re_tolerance * tolerance_of(series.spacing)) return false;
    const std::size_t rivals = tones_among(tones, series);
    if (series.lowest == 1) {
        return 5 * series.members >= 2 * rivals && 6 * series.members >= tones.size();
    }
    // Of sidebands whose lattice misses zero, every second or third may fit some spacing.
    return series.members > fewest_members && 5 * series.members >= 3 * rivals &&
           4 * series.members >= tones.size() && !is_ambiguous(series);
}

constexpr double faintest_fundamental = 0.001;  // of the energy of all tones: 30 dB

/// How many tones lie near a multiple of the spacing.
std::size_t near_multiples(std::span<const Tone> tones, double spacing) {
    return static_cast<std::size_t>(
        std::count_if(tones.begin(), tones.end(), [&](const Tone& tone) {
            const double ratio = tone.frequency.Hz() / spacing;
            return std::abs(ratio - std::round(ratio)) * spacing <= tolerance_of(spacing);
        }));
}

Series series_of(std::span<const Tone> tones, double spacing) {
    constexpr int fits = 3;
    for (int fit = 1; fit < fits; ++fit)
        spacing = matched(tones, spacing).spacing;
    Series series = matched(tones, spacing);
    score(series);
    return series;
}

double energy_of(std::span<const Tone> tones, const Series& series) {
    double energy = 0.0;
    for (std::size_t i = 0; i < tones.size(); ++i) {
        if (series.numbers[i] > 0 && series.numbers[i] <= series.highest) {
            energy += relative_energy(tones[i].level);
        }
    }
    return energy;
}

/// The series on one of the tones that holds most of the energy, if it holds over half of it and a
/// third of its numbers: what one hears as a tone with its harmonics, though sidebands may stand
/// around each that are closer together.
std::optional<Series> dominant_series(std::span<const Tone> tones) {
    double all = 0.0;
    for (const Tone& tone : tones)
        all += relative_energy(tone.level);
    std::optional<Series> best;
    double most = 0.5 * all;
    for (const Tone& fundamental : tones) {
        // A faint sideband far down carries nothing.
        if (relative_energy(fundamental.level) < faintest_fundamental * all) continue;
        Series series = series_of(tones, fundamental.frequency.Hz());
        const bool filled = 3 * series.members >= series.highest;
        if (series.lowest != 1 || series.members < fewest_members || !filled) continue;
        if (series.rms > greatest_rms_re_tolerance * tolerance_of(series.spacing)) continue;
        const double energy = energy_of(tones, series);
        if (energy <= most) continue;
        most = energy;
        best = std::move(series);
    }
    return best;
}

/// The series that accounts for most of the tones.
Series longest_series(std::span<const Tone> tones) {
    Series best{0.0, std::vector<unsigned>(tones.size(), 0U)};
    // From the highest tone down, whose frequency fixes a spacing best.
    for (std::size_t i = tones.size(); i-- > 0;) {
        const double hertz = tones[i].frequency.Hz();
        const auto most = static_cast<unsigned>(hertz / lowest_spacing);
        for (unsigned number = 1; number <= most; ++number) {
            const auto members = static_cast<double>(near_multiples(tones, hertz / number));
            if (members < static_cast<double>(fewest_members) || members <= best.score) continue;
            Series series = series_of(tones, hertz / number);
            if (series.score > best.score && is_sound(series, tones)) best = std::move(series);
        }
    }
    return best;
}

}  // namespace

std::optional<Frequency> number_harmonics(std::span<Tone> tones) {
    const auto dominant = dominant_series(tones);
    const Series best = dominant ? *dominant : longest_series(tones);
    std::optional<Frequency> fundamental;
    for (std::size_t i = 0; i < tones.size(); ++i) {
        tones[i].harmonic = best.numbers[i];
        if (best.numbers[i] == 1) fundamental = tones[i].frequency;
    }
    return fundamental;
}

}  // namespace earbudget
