#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/protection/octave_attenuation.hpp"
#include "earbudget/protection/ratings.hpp"

namespace earbudget {

/// Kinds of hearing protector that publications treat differently.
enum class ProtectorType { FoamPlug, PremouldedPlug, CustomPlug, CanalCap, Earmuff };

/// As written in files: "foam-plug", "premoulded-plug", "custom-plug", "canal-cap", "earmuff".
[[nodiscard]] std::string_view name_of(ProtectorType type);

/// Sizes of ear canals, as plugs are sold for.
enum class CanalSize { Small, Medium, Large };
inline constexpr std::array<CanalSize, 3> canal_sizes = {CanalSize::Small, CanalSize::Medium,
                                                         CanalSize::Large};

/// As written in files: "small", "medium", "large".
[[nodiscard]] std::string_view name_of(CanalSize size);

/// More than this nobody gets from any protector: sound comes through the skull (memory, rounded up
/// from the published limits of 40 to 60 dB by band; see bone_conduction_limit).
inline constexpr LevelDifference highest_attenuation{60.0};

/// What is known of the attenuation of one protector, or of two worn together.
struct AttenuationData {
    std::optional<ProtectorType> type = std::nullopt;  ///< none: a plug under an earmuff
    std::optional<OctaveAttenuation> octave = std::nullopt;
    Ratings ratings = {};
    bool estimated_pair = false;    ///< nobody measured this pair (pair.hpp)
    bool one_unknown = false;       ///< an estimated pair of which one has no data at all
    bool SNR_from_octaves = false;  ///< an estimated pair's, computed for one of the two
    bool SNR_unstated = false;      ///< so too for 84 %: the label of that one states none
    bool SNR_of_84 = false;         ///< a label's for want of octave data, whatever was asked for
    /// To be added to a reduction found by a single rating, for an estimated pair.
    LevelDifference second_protector = LevelDifference(0.0);

    /// Estimated from the data of both. Its SNR is then that of one of the two for the protection
    /// performance asked for, whether a label states it or not.
    [[nodiscard]] bool is_estimated_from_two() const {
        return second_protector > LevelDifference(0.0);
    }
};

/// Whether anything is known: octave data or a rating.
[[nodiscard]] bool has_data(const AttenuationData& attenuation);

/// One hearing protector of a catalogue.
struct Protector {
    std::string id;
    std::string title;
    ProtectorType type = ProtectorType::FoamPlug;
    std::optional<bool> fits_head_coil = std::nullopt;  ///< none: not stated
    std::optional<bool> metal_free = std::nullopt;      ///< none: not stated
    std::vector<CanalSize> canal = {};                  ///< that it fits; empty: not stated
    std::optional<OctaveAttenuation> octave = std::nullopt;
    Ratings ratings = {};

    [[nodiscard]] bool is_earmuff() const { return type == ProtectorType::Earmuff; }
    /// A plug; not a canal cap, whose band would lift the earmuff's cushions.
    [[nodiscard]] bool goes_under_earmuff() const {
        return !is_earmuff() && type != ProtectorType::CanalCap;
    }
    [[nodiscard]] AttenuationData attenuation() const {
        return {.type = type, .octave = octave, .ratings = ratings};
    }
};

}  // namespace earbudget
