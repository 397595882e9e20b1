#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "earbudget/excitation/waveform.hpp"

namespace earbudget::test {

/// A waveform of pieces that a test made.
class PiecesInMemory final : public WaveformSource {
  public:
    explicit PiecesInMemory(std::vector<GradientPiece> pieces) : pieces_(std::move(pieces)) {}
    std::optional<GradientPiece> next() override {
        return at_ < pieces_.size() ? std::optional(pieces_[at_++]) : std::nullopt;
    }
    void rewind() override { at_ = 0; }

  private:
    std::vector<GradientPiece> pieces_;
    std::size_t at_ = 0;
};

}  // namespace earbudget::test
