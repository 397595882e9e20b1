#include "waveforms/seq_waveform.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace earbudget::waveforms {

namespace {

bool is_played(const Block& block, unsigned repetition, unsigned repeat) {
    if (repeat == 1 || block.once == 0) return true;
    return block.once == 1 ? repetition == 1 : repetition == repeat;
}

}  // namespace

SeqSurvey survey_blocks(const files::OpenFile& file, const SeqParts& parts, unsigned repeat) {
    BlockReader blocks(file, parts);
    SeqSurvey survey;
    double points = 0.0;
    const double most = most_microseconds * 1e6;  // ps
    while (const auto block = blocks.next()) {
        survey.once_through += block->lasts;
        const double times = block->once == 0 ? repeat : 1.0;
        for (const Gradient* gradient : block->gradients)
            points += gradient ? times * static_cast<double>(gradient->lines()) : 0.0;
        points += times;
        if (points > most_played_points) {
            throw InputError({file.path(), block->line},
                             fmt::format("more than {0:g} points are played up to here; accepted: "
                                         "at most {0:g}",
                                         most_played_points));
        }
        if (static_cast<double>(survey.lasts.count()) +
                times * static_cast<double>(block->lasts.count()) >
            most) {
            throw InputError({file.path(), block->line},
                             "the sequence lasts more than a day; accepted: at most a day");
        }
        survey.lasts += block->lasts * (block->once == 0 ? repeat : 1U);
        if (block->waits && !survey.waits_at) survey.waits_at = block->line;
        if (block->is_soft && !survey.soft_at) survey.soft_at = block->line;
    }
    if (survey.lasts.count() == 0) {
        throw InputError({file.path(), parts.blocks.line},
                         "no block lasts any time; accepted: a sequence that lasts");
    }
    return survey;
}

SeqWaveform::SeqWaveform(std::shared_ptr<const files::OpenFile> file,
                         std::shared_ptr<const SeqParts> parts, unsigned repeat, bool waits)
    : file_(std::move(file)),
      parts_(std::move(parts)),
      repeat_(repeat),
      waits_(waits),
      blocks_(*file_, *parts_) {}

void SeqWaveform::rewind() {
    blocks_.rewind();
    repetition_ = 1;
    block_begins_ = Picoseconds(0);
    block_ = {};
    now_ = Picoseconds(0);
}

bool SeqWaveform::go_to_next_block() {
    block_begins_ += block_.lasts;
    now_ = Picoseconds(0);
    for (;;) {
        auto block = blocks_.next();
        if (!block) {
            if (repetition_ == repeat_) {
                block_ = {};
                return false;
            }
            ++repetition_;
            blocks_.rewind();
            continue;
        }
        if (block->lasts.count() == 0 || !is_played(*block, repetition_, repeat_)) continue;
        block_ = *std::move(block);
        for (std::size_t axis = 0; axis < gradient_axes; ++axis)
            cursors_[axis].begin(block_.gradients[axis], block_.lasts);
        return true;
    }
}

std::optional<GradientPiece> SeqWaveform::next() {
    if (now_ == block_.lasts && !go_to_next_block()) return std::nullopt;
    const Picoseconds end = std::min({cursors_[0].ends(), cursors_[1].ends(), cursors_[2].ends()});
    GradientPiece piece{block_begins_ + now_, end - now_, {}, {}, block_.may_turn};
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        piece.from[axis] = cursors_[axis].value_at(now_);
        piece.to[axis] = cursors_[axis].value_at(end);
        cursors_[axis].go_to(end);
    }
    if (block_.rotation) {
        piece.from = (*block_.rotation)(piece.from);
        piece.to = (*block_.rotation)(piece.to);
    }
    now_ = end;
    return piece;
}

}  // namespace earbudget::waveforms
