#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/computing/rows.hpp"
#include "register/entry.hpp"

namespace earbudget::registers {

/// What can be wrong with a register.
enum class Damage {
    File,
    Settings,
    Protection,
    EntryMissing,
    EntryMoved,
    EntryChanged,
    ContentMissing,
    ContentChanged,
    ContentLeft,
    ContentAlone,
    Correction,
    Code,
    Links,
    TailCut,
    OtherChain
};

/// `words` follow "entry 17: " or "the register: ".
struct DamageRow {
    Damage key;
    std::string_view name;
    std::string_view words;
};

inline constexpr auto damages = rows_of<DamageRow>({
    {Damage::File, "file-damaged", "the file is damaged"},
    {Damage::Settings, "settings-changed", "its settings are not those that it was made with"},
    {Damage::Protection, "protection-removed",
     "what keeps its entries from being changed was removed"},
    {Damage::EntryMissing, "entry-missing", "it was removed"},
    {Damage::EntryMoved, "entry-moved", "it was moved here from another place"},
    {Damage::EntryChanged, "entry-changed", "it is not what was recorded"},
    {Damage::ContentMissing, "content-missing",
     "its content is missing, and no entry says that it was erased"},
    {Damage::ContentChanged, "content-changed", "its content is not what was recorded"},
    {Damage::ContentLeft, "content-left", "its content is there, and was erased"},
    {Damage::ContentAlone, "content-alone", "there is content for it, and no such entry"},
    {Damage::Correction, "correction-changed", "it corrects an entry that it cannot correct"},
    {Damage::Code, "code-changed", "a code is not what was recorded for this person"},
    {Damage::Links, "links-changed", "who is one person is not what was recorded"},
    {Damage::TailCut, "tail-cut", "the entries after the last one are missing"},
    {Damage::OtherChain, "other-chain",
     "it is not the one of the head that was given: what came until then was written anew"},
});

/// Something that is wrong, and at which entry; none where it is the register as a whole.
struct Finding {
    Damage what;
    std::optional<std::int64_t> n = {};
    std::string detail = {};  ///< what else there is to say, as SQLite says it

    /// "entry 17: its content is not what was recorded".
    [[nodiscard]] std::string text() const;
};

/// What verifying a register found, first things first, at most a hundred.
struct Verification {
    std::vector<Finding> findings = {};
    Head head = {};
    std::int64_t entries = 0;
    std::int64_t erased = 0;                            ///< of them without content, rightly
    std::optional<Head> held_against = {};              ///< the head that was given
    std::vector<std::int64_t> clock_was_set_back = {};  ///< entries recorded before the one before

    [[nodiscard]] bool is_intact() const { return findings.empty(); }
    /// Entries beyond the head that was given, or all where none was: that none of the last of them
    /// is missing, and that they were not all written anew, is not proven.
    [[nodiscard]] std::int64_t proven_until() const { return held_against ? held_against->n : 0; }
};

}  // namespace earbudget::registers
