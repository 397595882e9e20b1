#pragma once

#include <array>
#include <cstddef>
#include <span>

/// The inner loops over draws, on as many numbers at once as the processor has room for: compiled
/// for several kinds of processor, one of which is picked when the program runs. Each is one pass
/// over its arrays, without memory of its own; results may differ between processors by 1e-14 of
/// themselves (a test holds them against each other). Arrays that are written must be none of those
/// that are read.
namespace earbudget::vector {

struct Addend {
    double size;
    const double* of;
};

/// to[i] = exp(Σ size·of[i]), to 1e-15 of itself beside what rounds in the sum (Highway's own
/// exponential, at most one or two last places); sums between −700 and 700.
void exponentials(std::span<const Addend> sum, std::span<double> to);

/// A rate that may be multiplied by a factor a draw (null: by 1).
struct Sound {
    double rate;
    const double* factor;
};

/// What is left of a sound, and what is added to it unreduced.
struct Left {
    Sound sound;
    double part = 1.0;                          ///< that is left, before the factors
    std::array<const double*, 3> factors = {};  ///< of that part, each null: 1
    double least = 0.0;                         ///< that part never below it, nor above 1
    Sound unreduced{0.0, nullptr};
    /// By whose power both are energies, which add.
    double to_energy = 1.0;
};

void write_left(const Left& left, std::span<double> to);

/// Levels with and without a protector, by how long each lasts.
struct Mixture {
    const double* worn = nullptr;       ///< null: no time
    const double* outside = nullptr;    ///< null: no time
    double least = 0.0;                 ///< rates below count nothing
    double fraction = 1.0;              ///< worn, of the time
    const double* fractions = nullptr;  ///< the same in each draw where it varies; else null
};

void write_mixture(const Mixture& mixture, std::span<double> to);

/// By how much of the time a level is there, in each draw; null: always.
struct Presence {
    const double* fractions = nullptr;  ///< of the time with a protector
    bool is_worn = true;                ///< the level is that with it
};

/// Marks where a rate is above `most` for some of the time.
void mark_above(std::span<const double> rates, double most, const Presence& presence, bool* marks);

/// A cubic over each of `cubics.size()` pieces, by coefficients of rising power of the place in it.
struct Pieces {
    std::span<const std::array<double, 4>> cubics;
    double begin, per_unit;
};

/// The value of the cubics at each x, beyond their ends as there.
void interpolate(const Pieces& pieces, std::span<const double> x, double* to);

/// sums[i] += scale·x[i].
void add_scaled(double scale, std::span<const double> x, double* sums);

}  // namespace earbudget::vector
