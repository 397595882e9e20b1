#include "excitation/driven_sound.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <memory>

#include "computing/assistant.hpp"
#include "earbudget/acoustics/bands.hpp"
#include "earbudget/excitation/drive.hpp"
#include "excitation/segments.hpp"

namespace earbudget {

namespace {

constexpr Frequency end_of_hearing{20'000.0};

struct Weights {
    DriveResponse response;
    std::vector<std::vector<std::size_t>> time_bases;
    std::vector<float> energy;  // A weighting and what a transform makes of an energy
};

/// Eight windows at a time of one part of the waveform, on a thread of its own.
class Worker {
  public:
    Worker(std::size_t length, const Weights& weights)
        : weights_(weights), transform_(length), sums_(length), assistant_([this] { work(); }) {
        for (auto& signal : signals_)
            signal.resize(transform_.span());
    }

    using Signals = std::array<std::vector<float>, gradient_axes>;
    /// To be filled after wait() and before start().
    [[nodiscard]] Signals& signals() { return signals_; }
    void start(std::size_t first_window) {
        first_window_ = first_window;
        assistant_.start();
    }
    void wait() { assistant_.wait(); }
    /// What the last start() gave, by window.
    void take_energies(std::vector<double>& energies) {
        if (!has_energies_) return;
        has_energies_ = false;
        if (energies.size() < first_window_ + segment_lanes)
            energies.resize(first_window_ + segment_lanes, 0.0);
        for (std::size_t lane = 0; lane < segment_lanes; ++lane)
            energies[first_window_ + lane] =
                static_cast<double>(energies_[static_cast<Eigen::Index>(lane)]);
    }
    [[nodiscard]] const CrossSpectra& sums() const { return sums_; }

  private:
    void work();
    [[nodiscard]] Lanes energy_at(std::size_t k, const SegmentLine& line) const;

    const Weights& weights_;
    SegmentTransform transform_;
    CrossSpectra sums_;
    Signals signals_;
    Lanes energies_ = Lanes::Zero();
    bool has_energies_ = false;
    std::size_t first_window_ = 0;
    Assistant assistant_;
};

void Worker::work() {
    has_energies_ = true;
    energies_.setZero();
    sums_.count_windows(segment_lanes);
    const SegmentSignals signals = {null_if_silent(signals_[0]), null_if_silent(signals_[1]),
                                    null_if_silent(signals_[2]), nullptr};
    if (!signals[0] && !signals[1] && !signals[2]) return;
    transform_.transform(signals);
    for (std::size_t k = 1; k < sums_.bins(); ++k) {
        const SegmentLine line = transform_.line<false>(k);
        const auto xy = conjugate_product(line.drive[0], line.drive[1]);
        const auto xz = conjugate_product(line.drive[0], line.drive[2]);
        const auto yz = conjugate_product(line.drive[1], line.drive[2]);
        sums_.add_line(k, {power(line.drive[0]), power(line.drive[1]), power(line.drive[2]), 0.0,
                           xy[0], xy[1], xz[0], xz[1], yz[0], yz[1]});
        energies_ += weights_.energy[k] * energy_at(k, line);
    }
}

Lanes Worker::energy_at(std::size_t k, const SegmentLine& line) const {
    Lanes energy = Lanes::Zero();
    for (const auto& axes : weights_.time_bases) {
        ComplexLanes sound{Lanes::Zero(), Lanes::Zero()};
        for (const std::size_t axis : axes) {
            const std::complex<float> h = weights_.response[axis][k];
            const ComplexLanes& drive = line.drive[axis];
            sound.re += h.real() * drive.re - h.imag() * drive.im;
            sound.im += h.real() * drive.im + h.imag() * drive.re;
        }
        energy += sound.re * sound.re + sound.im * sound.im;
    }
    return energy;
}

Weights weights_for(const ScannerResponse& response, const Raster& raster) {
    Weights weights{response_of_drive(response, raster), axes_by_time_base(response), {}};
    for (const double gain : a_weighting_of_bins(raster))
        weights.energy.push_back(
            static_cast<float>(2.0 * gain / static_cast<double>(raster.length)));
    return weights;
}

/// The samples that belong to one batch of windows: half a window from the batch before, then new
/// ones.
void fill(Worker::Signals& signals, Worker::Signals& kept, DriveSampler& sampler, std::size_t hop) {
    std::array<std::span<float>, gradient_axes> fresh;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        std::ranges::copy(kept[axis], signals[axis].begin());
        fresh[axis] = std::span(signals[axis]).subspan(hop);
    }
    sampler.read(fresh);
    for (std::size_t axis = 0; axis < gradient_axes; ++axis)
        std::copy(signals[axis].end() - static_cast<std::ptrdiff_t>(hop), signals[axis].end(),
                  kept[axis].begin());
}

}  // namespace

Raster raster_for(const ScannerResponse& response) {
    std::size_t bins = 1;
    for (const AxisResponse& axis : response.axes)
        bins = std::max(bins, axis.lines.size());
    const auto heard = static_cast<std::size_t>(end_of_hearing / response.bin_width) + 1;
    const std::size_t length = 2 * std::bit_ceil(std::max(bins, heard));
    return {static_cast<double>(length) * response.bin_width.Hz(), length};
}

DriveResponse response_of_drive(const ScannerResponse& response, const Raster& raster) {
    DriveResponse result;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const auto& lines = response.axes[axis].lines;
        result[axis].resize(raster.length / 2);
        for (std::size_t k = 1; k < std::min(result[axis].size(), lines.size()); ++k) {
            if (!lines[k]) continue;
            const double gain =
                drive_of_gradient(static_cast<double>(k) / static_cast<double>(raster.length));
            result[axis][k] =
                std::complex<float>(lines[k]->Pa_per_T_per_m / std::complex(0.0, gain));
        }
    }
    return result;
}

std::vector<std::vector<std::size_t>> axes_by_time_base(const ScannerResponse& response) {
    std::vector<std::vector<std::size_t>> lists;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const unsigned base = response.axes[axis].time_base;
        const auto same = std::ranges::find_if(
            lists, [&](const auto& list) { return response.axes[list[0]].time_base == base; });
        if (same == lists.end())
            lists.push_back({axis});
        else
            same->push_back(axis);
    }
    return lists;
}

std::vector<double> a_weighting_of_bins(const Raster& raster) {
    std::vector<double> gains(raster.length / 2, 0.0);
    for (std::size_t k = 1; k < gains.size(); ++k) {
        gains[k] = energy_ratio(a_weighting(
            Frequency(static_cast<double>(k) * raster.rate / static_cast<double>(raster.length))));
    }
    return gains;
}

DrivenSound drive_through(WaveformSource& waveform, const ScannerResponse& response,
                          const Raster& raster) {
    const Weights weights = weights_for(response, raster);
    const std::size_t hop = raster.length / 2;
    DriveSampler sampler(waveform, Seconds(0.0), Seconds(1.0 / raster.rate));
    // Two workers: sampling, a third thread, takes a small part of the time.
    std::array<std::unique_ptr<Worker>, 2> workers;
    for (auto& worker : workers)
        worker = std::make_unique<Worker>(raster.length, weights);
    Worker::Signals kept;
    for (auto& signal : kept)
        signal.assign(hop, 0.0F);
    DrivenSound sound{CrossSpectra(raster.length), {}, {}};
    std::size_t batch = 0;
    for (; !sampler.has_ended(); ++batch) {
        Worker& worker = *workers[batch % workers.size()];
        worker.wait();
        worker.take_energies(sound.window_energies);
        fill(worker.signals(), kept, sampler, hop);
        worker.start(batch * segment_lanes);
    }
    // What of the last samples only one window has seen, two will have.
    Worker& last = *workers[batch % workers.size()];
    last.wait();
    last.take_energies(sound.window_energies);
    fill(last.signals(), kept, sampler, hop);
    last.start(batch * segment_lanes);
    for (auto& worker : workers) {
        worker->wait();
        worker->take_energies(sound.window_energies);
        sound.drives += worker->sums();
    }
    sound.duration = sampler.end();
    return sound;
}

}  // namespace earbudget
