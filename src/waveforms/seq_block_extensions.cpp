#include <algorithm>

#include <fmt/format.h>

#include "waveforms/seq_block_row.hpp"

namespace earbudget::waveforms {

namespace {

// Extensions of one block; own choice.
constexpr int longest_chain = 64;

}  // namespace

void BlockReader::add_object(const Row& row, const ExtensionEntry& entry, InChain& chain,
                             Block& block) const {
    const Extensions& all = parts_.extensions;
    const auto missing = [&](std::int64_t id) {
        refuse(row, Column::Extension,
               fmt::format("the extension's object {} is not in the file", id),
               "the id of an object of that extension");
    };
    const auto kind = all.kinds.find(entry.type);
    if (kind == all.kinds.end()) {
        refuse(row, Column::Extension, fmt::format("no extension has the number {}", entry.type),
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
                    refuse(row, Column::Extension, "two rotations of one block", "at most one");
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
    for (std::int64_t next = row.ids[Column::Extension]; next != 0;) {
        if (++entries > longest_chain) {
            refuse(row, Column::Extension,
                   fmt::format("a chain of more than {} extensions, or one without an end",
                               longest_chain),
                   "chains that end");
        }
        const ExtensionEntry* entry = found(parts_.extensions.entries, next, [&](std::int64_t id) {
            refuse(row, Column::Extension, fmt::format("extension {} is not in the file", id),
                   "the id of an entry of [EXTENSIONS]");
        });
        add_object(row, *entry, chain, block);
        next = entry->next;
    }
    return chain;
}

}  // namespace earbudget::waveforms
