#include <algorithm>

#include <fmt/format.h>

#include "waveforms/seq_block_row.hpp"
#include "waveforms/seq_sections.hpp"

namespace earbudget::waveforms {

namespace {

// What rounding of a file's numbers may add to an event; own choice.
constexpr Picoseconds most_rounding{1'000};
constexpr std::int64_t largest_label = 1'000'000'000'000;

std::string milliseconds(Picoseconds time) {
    return fmt::format("{:.6g} ms", static_cast<double>(time.count()) * 1e-9);
}

}  // namespace

BlockReader::BlockReader(const files::OpenFile& file, const SeqParts& parts)
    : parts_(parts), lines_(file, parts.blocks) {}

void BlockReader::rewind() {
    lines_.go_to(parts_.blocks);
    begun_ = false;
    ended_ = false;
    once_ = 0;
    unturned_ = 0;
}

void BlockReader::refuse(const Row& row, std::size_t column, const std::string& what,
                         std::string_view accepted) const {
    SourcePosition place = lines_.at();
    place.column = row.at[column];
    throw InputError(place, fmt::format("{}; accepted: {}", what, accepted));
}

void BlockReader::require_within(const Row& row, std::size_t column, Picoseconds ends,
                                 const Block& block) const {
    if (ends <= block.lasts + most_rounding) return;
    refuse(row, column,
           fmt::format("{} ends after {}, its block after {}", Column::names[column],
                       milliseconds(ends), milliseconds(block.lasts)),
           "events that last no longer than their block");
}

BlockReader::Row BlockReader::row_of_line() const {
    const SeqVersion& version = parts_.version;
    Words words(lines_, version.states_durations ? "id, duration, RF, x, y, z, ADC, extension"
                        : version.has_extensions ? "id, delay, RF, x, y, z, ADC, extension"
                                                 : "id, delay, RF, x, y, z, ADC");
    Row row;
    const std::size_t all = version.has_extensions ? Column::count : Column::count - 1;
    for (std::size_t column = 0; column < all; ++column) {
        const bool is_count = column == Column::Duration && version.states_durations;
        row.ids[column] = words.whole(Column::names[column], 0, is_count ? INT64_MAX : highest_id);
        row.at[column] = words.column();
    }
    words.end();
    return row;
}

void BlockReader::settle_duration(const Row& row, Picoseconds longest, Block& block) const {
    if (!parts_.version.states_durations) {
        const OtherEvent* pause =
            found(parts_.delays, row.ids[Column::Duration], [&](std::int64_t id) {
                refuse(row, Column::Duration, fmt::format("delay {} is not in the file", id),
                       "the id of a delay in [DELAYS], or 0");
            });
        block.lasts = std::max(longest, pause ? pause->lasts : Picoseconds(0));
        return;
    }
    const double seconds =
        static_cast<double>(row.ids[Column::Duration]) * parts_.block_raster.count();
    if (seconds > most_microseconds * 1e-6)
        refuse(row, Column::Duration, fmt::format("a block of {:.6g} s", seconds), "at most a day");
    block.lasts = picoseconds_of(Seconds(seconds));
}

BlockReader::Events BlockReader::events_of(const Row& row, Block& block) const {
    const auto missing = [&](std::size_t column, std::string_view what) {
        return [this, &row, column, what](std::int64_t id) {
            refuse(row, column, fmt::format("{} {} is not in the file", what, id),
                   "the id of such an event, or 0");
        };
    };
    Events events;
    if (const auto* pulse = found(parts_.RF, row.ids[Column::RF], missing(Column::RF, "RF pulse")))
        events.ends[Column::RF] = pulse->ends_after();
    if (const auto* reading =
            found(parts_.ADC, row.ids[Column::ADC], missing(Column::ADC, "ADC event")))
        events.ends[Column::ADC] = reading->ends_after();
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const std::size_t column = Column::X + axis;
        const Gradient* gradient =
            found(parts_.gradients, row.ids[column], missing(column, "gradient"));
        block.gradients[axis] = gradient;
        if (gradient) events.ends[column] = gradient->ends_after();
    }
    return events;
}

std::optional<Block> BlockReader::next() {
    if (!begun_) begun_ = lines_.next();  // the rest of the heading's line
    do {
        ended_ = ended_ || !lines_.next() || is_heading(lines_.text());
        if (ended_) return std::nullopt;
    } while (says_nothing(lines_.text()));
    const Row row = row_of_line();
    Block block;
    block.line = lines_.place().line;
    Events events = events_of(row, block);
    const InChain chain = chain_of(row, block);
    events.ends[Column::Extension] = chain.longest;
    const Picoseconds longest = *std::ranges::max_element(events.ends);
    settle_duration(row, longest, block);
    for (std::size_t column = Column::RF; longest > block.lasts && column < Column::count; ++column)
        require_within(row, column, events.ends[column], block);
    const auto changed = [](std::int64_t now, std::optional<std::int64_t> set, std::int64_t more) {
        return std::clamp(set.value_or(now) + more, -largest_label, largest_label);
    };
    once_ = changed(once_, chain.once, chain.more_once);
    unturned_ = changed(unturned_, chain.unturned, chain.more_unturned);
    block.once = once_;
    block.may_turn = unturned_ == 0;
    return block;
}

}  // namespace earbudget::waveforms
