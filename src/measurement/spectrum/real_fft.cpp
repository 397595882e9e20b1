#include "earbudget/measurement/spectrum/real_fft.hpp"

#include <limits>
#include <new>
#include <stdexcept>

#include <kissfft/kiss_fftr.h>

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

}  // namespace earbudget
