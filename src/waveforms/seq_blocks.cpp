#include "waveforms/seq_blocks.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "waveforms/seq_sections.hpp"

namespace earbudget::waveforms {

namespace {

// What rounding of a file's numbers may add to an event; own choice.
constexpr Picoseconds most_rounding{1'000};
// Extensions of one block; own choice.
constexpr int longest_chain = 64;
constexpr std::int64_t largest_label = 1'000'000'000'000;

enum Column : std::size_t { Id, Duration, RF, X, Y, Z, ADC, Extension, columns };
constexpr std::array<std::string_view, columns> names = {
    "the block's id",    "the duration",      "the RF pulse",  "the gradient on x",
    "the gradient on y", "the gradient on z", "the ADC event", "the extension"};

std::string milliseconds(Picoseconds time) {
    return fmt::format("{:.6g} ms", static_cast<double>(time.count()) * 1e-9);
}

/// An event's thing; null for id 0.
template <class Thing>
const Thing* found(const ById<Thing>& things, std::int64_t id, const auto& refuse) {
    if (id == 0) return nullptr;
    const Thing* thing = things.find(id);
    if (!thing) refuse(id);
    return thing;
}

}  // namespace

/// The numbers of a line, and where each stands.
struct BlockReader::Row {
    std::array<std::int64_t, columns> ids{};
    std::array<unsigned, columns> at{};
};

/// When each event of a block ends, by columns; 0 for none.
struct BlockReader::Events {
    std::array<Picoseconds, columns> ends{};
};

/// What the extensions of a block say together.
struct BlockReader::InChain {
    std::optional<std::int64_t> once, unturned;
    std::int64_t more_once = 0, more_unturned = 0;
    Picoseconds longest{0};
};

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
           fmt::format("{} ends after {}, its block after {}", names[column], milliseconds(ends),
                       milliseconds(block.lasts)),
           "events that last no longer than their block");
}

BlockReader::Row BlockReader::row_of_line() const {
    const SeqVersion& version = parts_.version;
    Words words(lines_, version.states_durations ? "id, duration, RF, x, y, z, ADC, extension"
                        : version.has_extensions ? "id, delay, RF, x, y, z, ADC, extension"
                                                 : "id, delay, RF, x, y, z, ADC");
    Row row;
    const std::size_t all = version.has_extensions ? columns : columns - 1;
    for (std::size_t column = 0; column < all; ++column) {
        const bool is_count = column == Duration && version.states_durations;
        row.ids[column] = words.whole(names[column], 0, is_count ? INT64_MAX : highest_id);
        row.at[column] = words.column();
    }
    words.end();
    return row;
}

void BlockReader::add_object(const Row& row, const ExtensionEntry& entry, InChain& chain,
                             Block& block) const {
    const Extensions& all = parts_.extensions;
    const auto missing = [&](std::int64_t id) {
        refuse(row, Extension, fmt::format("the extension's object {} is not in the file", id),
               "the id of an object of that extension");
    };
    const auto kind = all.kinds.find(entry.type);
    if (kind == all.kinds.end()) {
        refuse(row, Extension, fmt::format("no extension has the number {}", entry.type),
               "a number that a line \"extension NAME NUMBER\" states");
    }
    switch (kind->second) {
        case ExtensionKind::Triggers:
            if (const Trigger* trigger = found(all.triggers, entry.object, missing)) {
                block.waits |= trigger->waits;
                chain.longest = std::max(chain.longest, trigger->delay + trigger->lasts);
            }
            return;
        case ExtensionKind::SetLabel:
            if (const LabelChange* change = found(all.set, entry.object, missing)) {
                if (change->label == Label::Once) chain.once = change->value;
                if (change->label == Label::NoRotation) chain.unturned = change->value;
            }
            return;
        case ExtensionKind::AddToLabel:
            if (const LabelChange* change = found(all.added, entry.object, missing)) {
                if (change->label == Label::Once) chain.more_once += change->value;
                if (change->label == Label::NoRotation) chain.more_unturned += change->value;
            }
            return;
        case ExtensionKind::SoftDelays:
            block.is_soft |= found(all.soft_delays, entry.object, missing) != nullptr;
            return;
        case ExtensionKind::Rotations:
            if (const auto* quaternion = found(all.rotations, entry.object, missing)) {
                if (block.rotation)
                    refuse(row, Extension, "two rotations of one block", "at most one");
                block.rotation = Rotation::by_quaternion(*quaternion);
            }
            return;
        case ExtensionKind::Shims:
            (void)found(all.shims, entry.object, missing);
            return;
        case ExtensionKind::Unknown:
            return;
    }
}

BlockReader::InChain BlockReader::chain_of(const Row& row, Block& block) const {
    InChain chain;
    int entries = 0;
    for (std::int64_t next = row.ids[Extension]; next != 0;) {
        if (++entries > longest_chain) {
            refuse(row, Extension,
                   fmt::format("a chain of more than {} extensions, or one without an end",
                               longest_chain),
                   "chains that end");
        }
        const ExtensionEntry* entry = found(parts_.extensions.entries, next, [&](std::int64_t id) {
            refuse(row, Extension, fmt::format("extension {} is not in the file", id),
                   "the id of an entry of [EXTENSIONS]");
        });
        add_object(row, *entry, chain, block);
        next = entry->next;
    }
    return chain;
}

void BlockReader::settle_duration(const Row& row, Picoseconds longest, Block& block) const {
    if (!parts_.version.states_durations) {
        const OtherEvent* pause = found(parts_.delays, row.ids[Duration], [&](std::int64_t id) {
            refuse(row, Duration, fmt::format("delay {} is not in the file", id),
                   "the id of a delay in [DELAYS], or 0");
        });
        block.lasts = std::max(longest, pause ? pause->lasts : Picoseconds(0));
        return;
    }
    const double seconds = static_cast<double>(row.ids[Duration]) * parts_.block_raster.count();
    if (seconds > most_microseconds * 1e-6)
        refuse(row, Duration, fmt::format("a block of {:.6g} s", seconds), "at most a day");
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
    if (const auto* pulse = found(parts_.RF, row.ids[RF], missing(RF, "RF pulse")))
        events.ends[RF] = pulse->ends_after();
    if (const auto* reading = found(parts_.ADC, row.ids[ADC], missing(ADC, "ADC event")))
        events.ends[ADC] = reading->ends_after();
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const std::size_t column = X + axis;
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
    events.ends[Extension] = chain.longest;
    const Picoseconds longest = *std::ranges::max_element(events.ends);
    settle_duration(row, longest, block);
    for (std::size_t column = RF; longest > block.lasts && column < columns; ++column)
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
