#pragma once

#include <array>
#include <optional>

#include "earbudget/excitation/rotation.hpp"
#include "waveforms/seq_parts.hpp"

namespace earbudget::waveforms {

/// One block of a sequence with what is played in it.
struct Block {
    Picoseconds lasts{0};
    std::array<const Gradient*, gradient_axes> gradients{};  ///< null: none on this axis
    std::optional<Rotation> rotation;
    std::int64_t once = 0;  ///< label ONCE: 0 always, 1 in the first repetition, else in the last
    bool may_turn = true;   ///< label NOROT is 0
    bool waits = false;     ///< for something from outside
    bool is_soft = false;   ///< how long it lasts may be set at the scanner
    unsigned line = 0;
};

/// The blocks of a sequence one after another, read from the file as they come. File and parts must
/// outlive this.
class BlockReader {
  public:
    BlockReader(const files::OpenFile& file, const SeqParts& parts);

    /// The next block; none at the end. Throws InputError at the place for what the format does not
    /// permit: an event that is not in the file, one that lasts longer than its block.
    [[nodiscard]] std::optional<Block> next();

    /// Begins again, labels too.
    void rewind();

  private:
    struct Column;
    struct Row;
    struct Events;
    struct InChain;
    [[nodiscard]] Row row_of_line() const;
    [[nodiscard]] Events events_of(const Row& row, Block& block) const;
    [[nodiscard]] InChain chain_of(const Row& row, Block& block) const;
    void add_object(const Row& row, const ExtensionEntry& entry, InChain& chain,
                    Block& block) const;
    void settle_duration(const Row& row, Picoseconds longest, Block& block) const;
    [[noreturn]] void refuse(const Row& row, std::size_t column, const std::string& what,
                             std::string_view accepted) const;
    void require_within(const Row& row, std::size_t column, Picoseconds ends,
                        const Block& block) const;

    const SeqParts& parts_;
    TextLines lines_;
    bool begun_ = false, ended_ = false;
    std::int64_t once_ = 0, unturned_ = 0;  ///< the labels' values
};

}  // namespace earbudget::waveforms
