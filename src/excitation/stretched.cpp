#include "earbudget/excitation/stretched.hpp"

namespace earbudget {

namespace {

bool is_plateau(const GradientPiece& piece) {
    return piece.from == piece.to && piece.from != AxisVector{};
}

}  // namespace

std::optional<GradientPiece> StretchedWaveform::next() {
    if (heard_ >= longest_) {
        is_cut_ = source_.next().has_value();
        return std::nullopt;
    }
    auto piece = source_.next();
    if (!piece) return std::nullopt;
    heard_ += piece->lasts;
    if (stretch_ == TimingChange::Time || is_plateau(*piece)) {
        piece->lasts *= scale_;
        has_stretched_ = true;
    }
    piece->start = at_;
    at_ += piece->lasts;
    return piece;
}

void StretchedWaveform::rewind() {
    source_.rewind();
    heard_ = at_ = Seconds(0.0);
    is_cut_ = has_stretched_ = false;
}

}  // namespace earbudget
