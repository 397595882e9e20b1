#include "excitation/align.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include <Eigen/QR>

#include "excitation/envelopes.hpp"

namespace earbudget {

namespace {

using Complex = std::complex<double>;
using Slim = std::complex<float>;

constexpr double lowest_Hz = 60.0;
constexpr double highest_Hz = 2500.0;  // beyond, a clock is off by turns before it is found
constexpr std::size_t windows_of_chunk = segment_lanes / 2;
constexpr std::size_t lines_for_clock = 200;
constexpr double least_explained = 0.1;  // own choice
constexpr double silent_line = 1e-9;     // of the strongest: rounding of the transform
constexpr double in_step = 1e-3;         // of an axis' drive that others leave; own choice
constexpr std::array<std::pair<std::size_t, std::size_t>, 3> pairs_of_axes = {
    {{0, 1}, {0, 2}, {1, 2}}};

/// Answers to the drive, chunk by chunk of a recording, while its clock is not known.
class Chunks {
  public:
    Chunks(const CalibrationPair& pair, const TimeMap& map, SegmentTransform& transform,
           double rate)
        : length_(transform.length()), rate_(rate) {
        const double width = rate / static_cast<double>(length_);
        first_ = static_cast<std::size_t>(lowest_Hz / width) + 1;
        count_ = static_cast<std::size_t>(std::min(highest_Hz, 0.4 * rate) / width) - first_;
        drive_.assign(gradient_axes, std::vector<double>(count_, 0.0));
        cross_.assign(count_, {});
        pressure_.assign(count_, 0.0);
        // From the waveform's beginning, or the recording's, the first window on.
        begin_ = (std::max(0.0, std::floor(map.start - static_cast<double>(length_) / 2.0)) -
                  map.start) /
                 rate;
        covered_ = for_each_window(pair, map, transform,
                                   [&](const SegmentTransform& at, std::size_t first,
                                       std::size_t count) { take(at, first, count); });
    }

    /// Too little of the waveform to tell chance from an answer.
    [[nodiscard]] bool are_too_few() const {
        const double least = fewest_windows * static_cast<double>(length_) / 2.0;
        return static_cast<double>(windows_) < fewest_windows || covered_ < least;
    }
    [[nodiscard]] double seconds() const {
        return static_cast<double>(windows_ * length_) / 2.0 / rate_;
    }
    /// The clock's error that makes the answers agree best.
    [[nodiscard]] double clock_error() const;
    /// The answers of an axis with that error taken off.
    [[nodiscard]] std::vector<Complex> answers(std::size_t axis, double clock_error) const;
    [[nodiscard]] double explained_by_one_axis(double clock_error) const;
    [[nodiscard]] double explained_by_all(double clock_error) const;
    /// Samples by which the strongest part of the answer comes after the drive.
    [[nodiscard]] double delay(double clock_error) const;

  private:
    void take(const SegmentTransform& transform, std::size_t first, std::size_t count);
    [[nodiscard]] bool is_driven(std::size_t axis, std::size_t n) const {
        return drive_[axis][n] > silent_line * largest_[axis];
    }
    [[nodiscard]] double turn(std::size_t n) const {
        return 2.0 * std::numbers::pi * static_cast<double>(first_ + n) * rate_ /
               static_cast<double>(length_);
    }
    [[nodiscard]] double time(std::size_t chunk) const {
        return begin_ + static_cast<double>(chunk * windows_of_chunk + windows_of_chunk) *
                            static_cast<double>(length_) / 2.0 / rate_;
    }
    [[nodiscard]] Complex answer(std::size_t axis, std::size_t n, double clock_error) const;
    [[nodiscard]] std::vector<std::size_t> strongest() const;
    [[nodiscard]] double multiple_coherence(std::size_t n, double clock_error) const;
    [[nodiscard]] double coherence(std::size_t axis, std::size_t n, Complex answer) const {
        const double both = drive_[axis][n] * pressure_[n];
        return both > 0.0 ? std::min(std::norm(answer) / both, 1.0) : 0.0;
    }

    std::size_t length_;
    double rate_;
    std::size_t first_ = 0, count_ = 0, windows_ = 0;
    double begin_ = 0.0;
    double covered_ = 0.0;  // samples of the waveform
    std::vector<std::array<std::vector<Slim>, gradient_axes>> chunks_;
    std::vector<std::vector<double>> drive_;
    std::vector<std::array<Complex, 3>> cross_;  // of drives: xy, xz, yz
    std::vector<double> pressure_;
    std::array<double, gradient_axes> largest_{};
};

void Chunks::take(const SegmentTransform& transform, std::size_t, std::size_t count) {
    windows_ += count;
    const std::size_t at = chunks_.size();
    chunks_.resize(at + 2);
    for (std::size_t half = 0; half < 2; ++half) {
        for (auto& axis : chunks_[at + half])
            axis.resize(count_);
    }
    for (std::size_t n = 0; n < count_; ++n) {
        const SegmentLine line = transform.line<true>(first_ + n);
        const auto& p = line.pressure;
        pressure_[n] += power(p);
        for (std::size_t pair = 0; pair < 3; ++pair) {
            const auto& [a, b] = pairs_of_axes[pair];
            const auto both = conjugate_product(line.drive[a], line.drive[b]);
            cross_[n][pair] += Complex(both[0], both[1]);
        }
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            const auto& d = line.drive[axis];
            drive_[axis][n] += power(d);
            largest_[axis] = std::max(largest_[axis], drive_[axis][n]);
            const Lanes re = d.re * p.re + d.im * p.im;
            const Lanes im = d.re * p.im - d.im * p.re;
            constexpr auto half = static_cast<Eigen::Index>(windows_of_chunk);
            chunks_[at][axis][n] = {re.head<half>().sum(), im.head<half>().sum()};
            chunks_[at + 1][axis][n] = {re.tail<half>().sum(), im.tail<half>().sum()};
        }
    }
}

Complex Chunks::answer(std::size_t axis, std::size_t n, double clock_error) const {
    const double rate = turn(n) * clock_error;
    Complex at = std::polar(1.0, rate * time(0));
    const Complex step = std::polar(1.0, rate * (time(1) - time(0)));
    Complex sum = 0.0;
    for (const auto& chunk : chunks_) {
        sum += at * Complex(chunk[axis][n]);
        at *= step;
    }
    return sum;
}

std::vector<Complex> Chunks::answers(std::size_t axis, double clock_error) const {
    std::vector<Complex> lines(length_ / 2 + 1, 0.0);
    for (std::size_t n = 0; n < count_; ++n) {
        if (!is_driven(axis, n)) continue;
        const Complex sum = answer(axis, n, clock_error);
        lines[first_ + n] = coherence(axis, n, sum) * sum / drive_[axis][n];
    }
    return lines;
}

/// S_dpᴴ·S_dd⁻¹·S_dp / S_pp (Bendat and Piersol, Random Data, chapter 7, memory); axes in step
/// count once.
double Chunks::multiple_coherence(std::size_t n, double clock_error) const {
    Eigen::Matrix3cd drives = Eigen::Matrix3cd::Zero();
    Eigen::Vector3cd answers = Eigen::Vector3cd::Zero();
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        if (!is_driven(axis, n) || pressure_[n] <= 0.0) continue;
        const auto a = static_cast<Eigen::Index>(axis);
        drives(a, a) = 1.0;
        answers(a) = answer(axis, n, clock_error) / std::sqrt(drive_[axis][n] * pressure_[n]);
    }
    for (std::size_t pair = 0; pair < 3; ++pair) {
        const auto& [one, other] = pairs_of_axes[pair];
        if (!is_driven(one, n) || !is_driven(other, n)) continue;
        const auto a = static_cast<Eigen::Index>(one);
        const auto b = static_cast<Eigen::Index>(other);
        drives(a, b) = cross_[n][pair] / std::sqrt(drive_[one][n] * drive_[other][n]);
        drives(b, a) = std::conj(drives(a, b));
    }
    Eigen::CompleteOrthogonalDecomposition<Eigen::Matrix3cd> decomposition;
    decomposition.setThreshold(in_step);
    decomposition.compute(drives);
    const Eigen::Vector3cd response = decomposition.solve(answers);
    return std::clamp(answers.dot(response).real(), 0.0, 1.0);
}

double Chunks::explained_by_all(double clock_error) const {
    double all = 0.0;
    double follows = 0.0;
    for (std::size_t n = 0; n < count_; ++n) {
        all += pressure_[n];
        follows += multiple_coherence(n, clock_error) * pressure_[n];
    }
    return all > 0.0 ? follows / all : 0.0;
}

double Chunks::explained_by_one_axis(double clock_error) const {
    double all = 0.0;
    double follows = 0.0;
    for (std::size_t n = 0; n < count_; ++n) {
        all += pressure_[n];
        double best = 0.0;
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            if (is_driven(axis, n))
                best = std::max(best, coherence(axis, n, answer(axis, n, clock_error)));
        }
        follows += best * pressure_[n];
    }
    return all > 0.0 ? follows / all : 0.0;
}

/// Places in which chunks answer most, whatever their phases: axis · count + line.
std::vector<std::size_t> Chunks::strongest() const {
    std::vector<std::pair<double, std::size_t>> energies;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        for (std::size_t n = 0; n < count_; ++n) {
            if (!is_driven(axis, n)) continue;
            double sum = 0.0;
            for (const auto& chunk : chunks_)
                sum += static_cast<double>(std::norm(chunk[axis][n]));
            energies.emplace_back(sum / drive_[axis][n], axis * count_ + n);
        }
    }
    const std::size_t kept = std::min(lines_for_clock, energies.size());
    std::partial_sort(energies.begin(), energies.begin() + static_cast<std::ptrdiff_t>(kept),
                      energies.end(), std::greater<>());
    std::vector<std::size_t> places;
    for (std::size_t n = 0; n < kept; ++n)
        places.push_back(energies[n].second);
    return places;
}

double Chunks::clock_error() const {
    const auto places = strongest();
    const auto agreement = [&](double error) {
        double sum = 0.0;
        for (const std::size_t place : places) {
            const std::size_t axis = place / count_;
            const std::size_t n = place % count_;
            sum += std::norm(answer(axis, n, error)) / drive_[axis][n];
        }
        return sum;
    };
    double step = 0.2 / (highest_Hz * std::max(seconds(), 1.0));
    double best = 0.0;
    double best_agreement = agreement(0.0);
    const auto consider = [&](double error) {
        const double at = agreement(error);
        if (at <= best_agreement) return;
        best_agreement = at;
        best = error;
    };
    const auto steps = static_cast<int>(greatest_clock_error_ppm * 1e-6 / step);
    for (int n = -steps; n <= steps; ++n)
        consider(n * step);
    for (; step > 1e-9; step /= 2.0) {
        const double here = best;
        consider(here - step / 2.0);
        consider(here + step / 2.0);
    }
    return best;
}

double Chunks::delay(double clock_error) const {
    std::vector<double> energy(length_, 0.0);
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const auto lines = answers(axis, clock_error);
        const auto time = to_time(std::vector<Slim>(lines.begin(), lines.end()));
        for (std::size_t n = 0; n < length_; ++n)
            energy[n] += static_cast<double>(time[n]) * static_cast<double>(time[n]);
    }
    // Over two milliseconds: a crest of a low resonance is no beginning.
    const auto reach = static_cast<std::size_t>(0.001 * rate_);
    double sum = 0.0;
    for (std::size_t n = 0; n <= 2 * reach; ++n)
        sum += energy[(n + length_ - reach) % length_];
    double best = -1.0;
    std::size_t at = 0;
    for (std::size_t n = 0; n < length_; ++n) {
        if (sum > best) {
            best = sum;
            at = n;
        }
        sum += energy[(n + reach + 1) % length_] - energy[(n + length_ - reach) % length_];
    }
    const auto samples = static_cast<double>(at);
    return at > length_ / 2 ? samples - static_cast<double>(length_) : samples;
}

/// From a likely start on; `is_known`: which stays.
Aligned aligned_from(const CalibrationPair& pair, double start, bool is_known, double rate) {
    SegmentTransform transform(window_for(rate));
    Aligned aligned{{start, 1.0}};
    const double near_enough = static_cast<double>(transform.length()) / 128.0;
    for (int pass = 0; pass < 4; ++pass) {
        const Chunks chunks(pair, aligned.map, transform, rate);
        if (chunks.are_too_few()) throw UnusableRecording::TooShort;
        const double error = chunks.clock_error();
        const double delay = is_known ? 0.0 : chunks.delay(error);
        aligned.by_one_axis = chunks.explained_by_one_axis(error);
        aligned.explained = chunks.explained_by_all(error);
        aligned.map.clock *= 1.0 + error;
        aligned.map.start += delay;
        if (std::abs(delay) < near_enough &&
            std::abs(error) * chunks.seconds() * rate < near_enough)
            break;
    }
    return aligned;
}

}  // namespace

Aligned align(const CalibrationPair& pair, std::optional<double> start) {
    const double rate = PressureReader(pair).rate();
    const auto starts = start ? std::vector<double>{*start} : likely_starts(pair);
    std::optional<Aligned> best;
    std::optional<UnusableRecording> why;
    for (const double likely : starts) {
        try {
            const Aligned found = aligned_from(pair, likely, start.has_value(), rate);
            if (!best || found.by_one_axis > best->by_one_axis) best = found;
        } catch (const UnusableRecording& unusable) {
            why = unusable;
        }
    }
    if (!best) throw why.value_or(UnusableRecording::NotFound);
    // Three axes together would explain more of what is chance.
    if (best->by_one_axis < least_explained) throw UnusableRecording::NotFound;
    return *best;
}

Shift shift_between(const std::vector<Complex>& first, const std::vector<Complex>& second) {
    const std::size_t length = 2 * (first.size() - 1);
    std::vector<Complex> products(first.size());
    std::vector<Slim> slim(first.size());
    double energy_of_first = 0.0;
    double energy_of_second = 0.0;
    for (std::size_t k = 1; k + 1 < first.size(); ++k) {
        if (first[k] == 0.0 || second[k] == 0.0) continue;
        products[k] = std::conj(first[k]) * second[k];
        slim[k] = Slim(products[k]);
        energy_of_first += std::norm(first[k]);
        energy_of_second += std::norm(second[k]);
    }
    if (energy_of_first <= 0.0 || energy_of_second <= 0.0) return {};
    const auto time = to_time(slim);
    const auto at = static_cast<double>(std::ranges::max_element(time) - time.begin());
    const auto agreement = [&](double samples) {
        double sum = 0.0;
        for (std::size_t k = 0; k < products.size(); ++k) {
            if (products[k] == 0.0) continue;
            sum += (products[k] * std::polar(1.0, 2.0 * std::numbers::pi * static_cast<double>(k) *
                                                      samples / static_cast<double>(length)))
                       .real();
        }
        return sum;
    };
    const bool wraps = at > static_cast<double>(length) / 2.0;
    Shift shift{wraps ? at - static_cast<double>(length) : at, 0.0};
    double best = agreement(shift.samples);
    for (double step = 0.5; step > 0.005; step /= 2.0) {
        for (const double other : {shift.samples - step, shift.samples + step}) {
            const double there = agreement(other);
            if (there <= best) continue;
            best = there;
            shift.samples = other;
        }
    }
    shift.agreement = std::max(best, 0.0) / std::sqrt(energy_of_first * energy_of_second);
    return shift;
}

}  // namespace earbudget
