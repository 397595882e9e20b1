#pragma once

#include <span>
#include <vector>

namespace earbudget {

/// A filter given by its impulse response.
class FirFilter {
  public:
    explicit FirFilter(std::vector<double> impulse_response);

    /// Filters a block in place; the past carries over to the next block.
    void process(std::span<double> block);

  private:
    std::vector<double> impulse_response_;
    std::vector<double> past_and_block_;  // as many past samples as the response needs come first
};

}  // namespace earbudget
