#pragma once

#include <array>
#include <string_view>

namespace earbudget::waveforms {

/// A version of the open file format of sequences, and which rules it has. Source of all: the
/// format's specification 1.5.3 (draft, 2026), "Revision History"; of what came before 1.4 the
/// files that its software wrote (memory).
struct SeqVersion {
    std::string_view name;
    /// Blocks state how long they last, shapes that are not compressed may be stored, the signature
    /// (1.4.0). Before, a block lasts as long as its longest event, and every shape is compressed.
    bool states_durations;
    /// RF events state a centre and a use, gradients their first and last value (1.5.0).
    bool states_ends;
    bool has_extensions;  ///< a column for them in blocks (1.3.0)
};

/// Every version that is known, 1.4.2 as 1.4.1 (memory: written by others' software).
inline constexpr std::array<SeqVersion, 11> seq_versions = {{{"1.2.0", false, false, false},
                                                             {"1.2.1", false, false, false},
                                                             {"1.3.0", false, false, true},
                                                             {"1.3.1", false, false, true},
                                                             {"1.4.0", true, false, true},
                                                             {"1.4.1", true, false, true},
                                                             {"1.4.2", true, false, true},
                                                             {"1.5.0", true, true, true},
                                                             {"1.5.1", true, true, true},
                                                             {"1.5.2", true, true, true},
                                                             {"1.5.3", true, true, true}}};

}  // namespace earbudget::waveforms
