#pragma once

#include <cstddef>

namespace earbudget::fuzz {

/// What an input of a target may take: so much, and so much more for each of its bytes.
struct Allowance {
    double seconds;           ///< of processors, as others may use them at the same time
    double seconds_per_byte;  ///< 7 µs make 30 s of 4 MiB
    std::size_t bytes;        ///< at once, of what C++ allocates; not counted with sanitizers
    std::size_t bytes_per_byte;
};

/// Ends the process where what ran while it lived took more than its input may.
class Bounded {
  public:
    Bounded(std::size_t input, const Allowance& allowance);
    Bounded(const Bounded&) = delete;
    Bounded& operator=(const Bounded&) = delete;
    ~Bounded();

  private:
    std::size_t input_;
    Allowance allowance_;
    double began_;
    std::size_t held_;
};

}  // namespace earbudget::fuzz
