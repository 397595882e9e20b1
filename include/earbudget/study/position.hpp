#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>

#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/computing/source_position.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget {

/// How levels at a place differ from those at the participant's ear position, and what is heard
/// there anyway: with the door in one state.
struct Transmission {
    /// Of the A-weighted level, and of every band that `octave_difference` lacks.
    std::optional<LevelDifference> difference = std::nullopt;
    /// By octave band; negative where it is quieter. Empty: `difference` alone.
    std::map<OctaveBand, LevelDifference> octave_difference = {};
    /// Standard uncertainty (k = 1) of the difference; none: not stated, counts as 0.
    std::optional<LevelDifference> uncertainty = std::nullopt;
    /// With no sequence running, measured there; none: the plan's, by the difference.
    std::optional<SoundLevels> background = std::nullopt;
    /// Sequences as measured there, by index into Plan::sequences; they beat the difference.
    std::map<std::size_t, SoundLevels> measured = {};
    /// How those came about.
    std::map<std::size_t, Origin> measured_origin = {};
};

/// A place in the facility.
struct Position {
    std::string id;
    Transmission door_shut = {};  ///< or where there is no door
    std::optional<Transmission> door_open = std::nullopt;
    bool near_magnet = false;  ///< metal must not be brought there
    SourcePosition stated_at = {};

    [[nodiscard]] const Transmission& with(bool open_door) const {
        return open_door && door_open ? *door_open : door_shut;
    }
};

inline constexpr Formula formula_of_difference{
    "L there = L at the ear position + difference, then the energy sum with the background there",
    "docs/methods.md, rooms; derived"};
inline constexpr Formula formula_of_band_differences{
    "L there = L at the ear position + 10 lg Σ 10^((LA,f + df)/10) − 10 lg Σ 10^(LA,f/10), then "
    "the energy sum with the background there",
    "docs/methods.md, rooms; derived"};

/// What a sound at the participant's ear position is at a place, by the difference alone: the bands
/// each by its own, LAeq and LCeq by what that makes of their weighted sums, peaks by the largest
/// difference of any band. Without bands LAeq takes the difference of the A-weighted level, all
/// else the largest. None where only differences by band are stated and the sound has no bands.
[[nodiscard]] std::optional<SoundLevels> sound_there(const SoundLevels& at_ear_position,
                                                     const Transmission& transmission);

/// Whether a background has what `together` needs: LC where the sound has it, and its bands.
[[nodiscard]] bool can_be_added(const SoundLevels& background, const SoundLevels& sound);

/// Two sounds at once, by their energies; a peak that one lacks is the other's. Uncertainties by
/// the squares of their shares in the energy. The background must have what the sound has.
[[nodiscard]] SoundLevels together(const SoundLevels& sound, const SoundLevels& background);

}  // namespace earbudget
