#pragma once

#include <memory>

#include "waveforms/gradient_cursor.hpp"
#include "waveforms/seq_blocks.hpp"

namespace earbudget::waveforms {

/// What all blocks of a sequence say together.
struct SeqSurvey {
    Picoseconds once_through{0};                ///< every block once
    Picoseconds lasts{0};                       ///< with its repetitions
    std::optional<unsigned> waits_at, soft_at;  ///< lines of the first block that does
};

/// Looks through all blocks, so that whatever is wrong is known before anything is computed. Throws
/// InputError as BlockReader, and for what lasts nothing or more than a day.
[[nodiscard]] SeqSurvey survey_blocks(const files::OpenFile& file, const SeqParts& parts,
                                      unsigned repeat);

/// The gradients of a sequence's file, played so often one after another; blocks that ask for it
/// (label ONCE) in the first or the last repetition alone.
class SeqWaveform final : public WaveformSource {
  public:
    SeqWaveform(std::shared_ptr<const files::OpenFile> file, std::shared_ptr<const SeqParts> parts,
                unsigned repeat, bool waits);

    [[nodiscard]] std::optional<GradientPiece> next() override;
    void rewind() override;
    [[nodiscard]] bool duration_is_lower_bound() const override { return waits_; }

  private:
    [[nodiscard]] bool go_to_next_block();

    std::shared_ptr<const files::OpenFile> file_;
    std::shared_ptr<const SeqParts> parts_;
    unsigned repeat_;
    bool waits_;
    BlockReader blocks_;
    unsigned repetition_ = 1;
    Picoseconds block_begins_{0};  ///< since the waveform's beginning
    Block block_;
    Picoseconds now_{0};  ///< since the block's
    std::array<GradientCursor, gradient_axes> cursors_;
};

}  // namespace earbudget::waveforms
