#pragma once

#include <cstddef>

namespace earbudget::vector {

/// A zero at 1 and a real pole at p: y[n] = x[n] − x[n−1] + p·y[n−1].
///
/// So that eight results can be had at once the recursion looks eight samples back (scattered
/// look-ahead, Parhi and Messerschmitt 1989, IEEE Trans. ASSP 37:1099; memory):
/// y[n] = x[n] − (1−p)·(x[n−1] + p·x[n−2] + … + p⁶·x[n−7]) − p⁷·x[n−8] + p⁸·y[n−8].
/// A section of first order keeps single precision: a rounding error is never amplified by more
/// than 1 / (1 − p), where a second-order section at 20 Hz squares that.
struct HighPass {
    float taps[8];  ///< of x[n−1] to x[n−8]
    float pole_8;   ///< p⁸
    float past[8];  ///< of y
};

struct Extremes {
    float lowest, highest;
};

/// The inner loops of measuring, on as many numbers at a time as the processor has room for.
///
/// Each exists for several kinds of processor; kernels() tells which to use. What they give may
/// differ by the rounding of single precision; levels agree to 1e-6 dB (a test).
struct Kernels {
    /// `x` and `y` are two places; the eight samples before `x` must stand there.
    void (*high_pass)(HighPass& section, const float* x, float* y, std::size_t count);

    /// y[n] = Σ taps[k] · x[n + k] for n < count.
    void (*correlate)(const float* taps, std::size_t tap_count, const float* x, float* y,
                      std::size_t count);

    /// Σ x and Σ (x − mean)², in eight sums or more: of up to 512 terms each, they lose under 1e-6.
    double (*sum)(const float* x, std::size_t count);
    double (*squared_deviations)(const float* x, std::size_t count, float mean);

    /// Σ x² of each of `blocks` blocks of `length` samples.
    void (*sums_of_squares)(const float* x, std::size_t length, std::size_t blocks, float* sums);

    /// y = x − offset, in single precision.
    void (*narrow)(const double* x, double offset, float* y, std::size_t count);

    Extremes (*extremes)(const float* x, std::size_t count);

    /// The first sample from `n` on that lies above `above` and is no lower than its neighbours, or
    /// below `below` and no higher; else `end`. There is one more sample on either side.
    std::size_t (*find_crest)(const float* x, std::size_t n, std::size_t end, float below,
                              float above);

    /// Whether any of `count` samples equals both that follow it, and lies at `low` or below or at
    /// `high` or above. Two more samples follow the last.
    bool (*has_flat_outside)(const float* x, std::size_t count, float low, float high);

    /// Σ a[k] · b[k]; `count` is a multiple of eight.
    float (*dot_product)(const float* a, const float* b, std::size_t count);

    /// Eight windows over a signal, the k-th from x[k · hop] on: out[8n + k] = window[n] ·
    /// x[k · hop + n]. `length` is a multiple of eight.
    void (*window_eight)(const float* x, std::size_t hop, const float* window, float* out,
                         std::size_t length);

    /// Eight discrete Fourier transforms side by side, in place; `length` is a power of two. The
    /// results stand in the order of frequency_at() (power_transform.cpp). For each radix-4 step
    /// from `length` down, `twiddles` holds w, w², w³ as pairs of cosine and sine, w = e^(−2πij /
    /// length).
    void (*transform_eight)(float* re, float* im, std::size_t length, const float* twiddles);

    /// power[n] += Σ re² + im² over the eight; `length` is a multiple of eight.
    void (*add_power)(const float* re, const float* im, double* power, std::size_t length);
};

/// For the processor that runs this.
[[nodiscard]] const Kernels& kernels();

/// How many samples a high-pass section looks back.
inline constexpr int high_pass_reach = 8;

/// A section with a real pole, silent so far.
[[nodiscard]] HighPass high_pass_with_pole(double pole);

}  // namespace earbudget::vector
