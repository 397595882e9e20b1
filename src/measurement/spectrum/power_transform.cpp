#include "earbudget/measurement/spectrum/power_transform.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <forward_list>
#include <limits>
#include <mutex>
#include <new>
#include <stdexcept>

#include <kissfft/kiss_fftr.h>

#include "measurement/spectrum/transform_tables.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

static_assert(sizeof(kiss_fft_cpx) == sizeof(std::complex<float>));

RealFft::RealFft(std::size_t length) : length_(length), spectrum_(length / 2 + 1) {
    if (length == 0 || length % 2 != 0 || length > std::numeric_limits<int>::max()) {
        throw std::invalid_argument("a transform of odd, no or too great length");
    }
    configuration_.reset(kiss_fftr_alloc(static_cast<int>(length), 0, nullptr, nullptr));
    if (!configuration_) throw std::bad_alloc();
}

std::span<const std::complex<float>> RealFft::operator()(std::span<const float> signal) {
    if (signal.size() != length_) throw std::invalid_argument("a signal of another length");
    // std::complex<float> may be accessed as two floats, and so laid out as kiss_fft_cpx is.
    kiss_fftr(static_cast<kiss_fftr_cfg>(configuration_.get()), signal.data(),
              reinterpret_cast<kiss_fft_cpx*>(spectrum_.data()));
    return spectrum_;
}

void RealFft::Release::operator()(void* configuration) const { kiss_fftr_free(configuration); }

namespace {

constexpr std::size_t lanes = 8;

}  // namespace

PowerTransform::PowerTransform(std::shared_ptr<const std::vector<float>> window)
    : window_(std::move(window)) {
    if (length() < lanes || !std::has_single_bit(length())) {
        throw std::invalid_argument("a window whose length is no power of two");
    }
    twiddles_ = twiddles_of_length(length());
    power_.assign(length(), 0.0);
}

void PowerTransform::add_all(std::span<const float> samples) {
    if (samples.size() != span_of_all()) throw std::invalid_argument("another number of samples");
    // Not thread_local: the C library ends the program where memory for its destructor fails.
    static std::mutex mutex;
    static std::forward_list<Points> free;
    std::forward_list<Points> taken;
    {
        const std::lock_guard lock(mutex);
        if (!free.empty()) taken.splice_after(taken.before_begin(), free, free.before_begin());
    }
    if (taken.empty()) taken.emplace_front();
    Points& points = taken.front();
    points.re.resize(lanes * length());
    points.im.resize(lanes * length());
    const auto& kernels = vector::kernels();
    kernels.window_eight(samples.data(), hop(), window_->data(), points.re.data(), length());
    kernels.window_eight(samples.data() + lanes * hop(), hop(), window_->data(), points.im.data(),
                         length());
    transform(points);
    const std::lock_guard lock(mutex);
    free.splice_after(free.before_begin(), taken);
}

void PowerTransform::add_one(std::span<const float> samples, double scale) {
    if (samples.size() != length()) throw std::invalid_argument("another number of samples");
    const auto gain = static_cast<float>(std::sqrt(scale));
    if (waiting_ == 0) {
        points_.re.assign(lanes * length(), 0.0F);
        points_.im.assign(lanes * length(), 0.0F);
    }
    auto& part = waiting_ < lanes ? points_.re : points_.im;
    for (std::size_t n = 0; n < length(); ++n)
        part[n * lanes + waiting_ % lanes] = gain * (*window_)[n] * samples[n];
    if (++waiting_ == at_once) transform_waiting();
}

void PowerTransform::transform(Points& points) {
    const auto& kernels = vector::kernels();
    kernels.transform_eight(points.re.data(), points.im.data(), length(), twiddles_->data());
    kernels.add_power(points.re.data(), points.im.data(), power_.data(), length());
}

void PowerTransform::transform_waiting() {
    transform(points_);
    waiting_ = 0;
}

std::vector<double> PowerTransform::finish() {
    if (waiting_ > 0) transform_waiting();
    points_ = {};
    std::vector<double> result(length() / 2 + 1, 0.0);
    for (std::size_t place = 0; place < length(); ++place) {
        const std::size_t k = frequency_at(place, length());
        // Half of what stands at k and at −k; 0 and the middle are their own opposites.
        const bool alone = k == 0 || k == length() / 2;
        result[std::min(k, length() - k)] += (alone ? 1.0 : 0.5) * power_[place];
    }
    return result;
}

}  // namespace earbudget
