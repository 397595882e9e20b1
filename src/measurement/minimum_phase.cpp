#include "measurement/minimum_phase.hpp"

#include <complex>
#include <stdexcept>

#include <kissfft/kissfft.hh>

namespace earbudget {

namespace {

using Spectrum = std::vector<std::complex<double>>;

Spectrum transformed(const Spectrum& input, bool inverse) {
    Spectrum output(input.size());
    kissfft<double>(input.size(), inverse).transform(input.data(), output.data());
    return output;
}

}  // namespace

std::vector<double> minimum_phase_response(std::span<const double> log_magnitude,
                                           std::size_t taps) {
    if (log_magnitude.size() < 2) throw std::invalid_argument("a magnitude at two points at least");
    const std::size_t half = log_magnitude.size() - 1;
    const std::size_t length = 2 * half;
    if (taps > length) throw std::invalid_argument("more taps than points of the magnitude");
    Spectrum values(length);
    for (std::size_t k = 0; k < length; ++k) {
        values[k] = log_magnitude[k <= half ? k : length - k];
    }
    // Folding the anticausal half of the cepstrum onto the causal one makes the phase minimum.
    Spectrum cepstrum = transformed(values, true);
    for (std::size_t n = 0; n < length; ++n) {
        const double fold = n == 0 || n == half ? 1.0 : (n < half ? 2.0 : 0.0);
        cepstrum[n] = fold * cepstrum[n].real() / static_cast<double>(length);
    }
    Spectrum response = transformed(cepstrum, false);
    for (auto& value : response)
        value = std::exp(value);
    response = transformed(response, true);
    std::vector<double> result(taps);
    for (std::size_t n = 0; n < taps; ++n) {
        result[n] = response[n].real() / static_cast<double>(length);
    }
    return result;
}

}  // namespace earbudget
