#include "excitation/segments.hpp"

#include <algorithm>

#include "measurement/spectrum/transform_tables.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

SegmentTransform::SegmentTransform(std::size_t length)
    : length_(length),
      window_(power_complementary_window(length)),
      twiddles_(twiddles_of_length(length)),
      place_(length) {
    for (std::size_t place = 0; place < length; ++place)
        place_[frequency_at(place, length)] = place;
    for (Points* points : {&first_, &second_}) {
        points->re.resize(length * segment_lanes);
        points->im.resize(length * segment_lanes);
    }
}

const float* null_if_silent(const std::vector<float>& signal) {
    const bool silent = std::ranges::all_of(signal, [](float value) { return value == 0.0F; });
    return silent ? nullptr : signal.data();
}

void SegmentTransform::window(const float* signal, std::vector<float>& into) {
    if (signal)
        vector::kernels().window_eight(signal, hop(), window_->data(), into.data(), length_);
    else
        std::ranges::fill(into, 0.0F);
}

void SegmentTransform::transform(const SegmentSignals& signals, std::size_t windows) {
    for (std::size_t n = 0; n < signals.size(); ++n) {
        const float half = n == gradient_axes ? 0.5F * pressure_scale : 0.5F;
        for (std::size_t lane = 0; lane < segment_lanes; ++lane)
            gains_[n][static_cast<Eigen::Index>(lane)] = signals[n] && lane < windows ? half : 0.0F;
    }
    has_x_or_y_ = signals[0] || signals[1];
    const auto& kernels = vector::kernels();
    if (has_x_or_y_) {
        window(signals[0], first_.re);
        window(signals[1], first_.im);
        kernels.transform_eight(first_.re.data(), first_.im.data(), length_, twiddles_->data());
    }
    window(signals[2], second_.re);
    window(signals[3], second_.im);
    kernels.transform_eight(second_.re.data(), second_.im.data(), length_, twiddles_->data());
}

}  // namespace earbudget
