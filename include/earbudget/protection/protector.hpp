#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/protection/octave_attenuation.hpp"
#include "earbudget/protection/ratings.hpp"

namespace earbudget {

/// Kinds of hearing protector that publications treat differently.
enum class ProtectorType { FoamPlug, PremouldedPlug, CustomPlug, CanalCap, Earmuff, Pad };

/// What publications say of one kind.
struct ProtectorTypeRow {
    ProtectorType key;
    std::string_view name;  ///< as written in files
    /// Whether it can be worn under an earmuff: the band of a canal cap would lift the cushions.
    bool goes_under_earmuff;
    /// Of the NRR: 25 % off an earmuff, 50 % off a formable plug, 70 % off any other plug
    /// (NIOSH 98-126, seen in secondary sources).
    double niosh_factor;
    /// Of the NRR (CSA Z94.2-14, seen in secondary sources).
    double csa_factor;
    /// Ks, dB (TRLV Lärm part 3, DGUV Regel 112-194; seen): of a custom plug with function check.
    double practice_deduction_dB;
};

inline constexpr auto protector_types = rows_of<ProtectorTypeRow>({
    {ProtectorType::FoamPlug, "foam-plug", true, 0.50, 0.50, 9.0},
    {ProtectorType::PremouldedPlug, "premoulded-plug", true, 0.30, 0.50, 5.0},
    {ProtectorType::CustomPlug, "custom-plug", true, 0.30, 0.50, 3.0},
    {ProtectorType::CanalCap, "canal-cap", false, 0.30, 0.50, 5.0},
    {ProtectorType::Earmuff, "earmuff", false, 0.75, 0.70, 5.0},
    // Of a head coil: no label, and no deduction is published; the largest of all (own choice).
    {ProtectorType::Pad, "pad", false, 0.30, 0.50, 9.0},
});

/// As written in files: "foam-plug", "premoulded-plug", "custom-plug", "canal-cap", "earmuff",
/// "pad".
[[nodiscard]] constexpr std::string_view name_of(ProtectorType type) {
    return protector_types[type].name;
}

/// Sizes of ear canals, as plugs are sold for.
enum class CanalSize { Small, Medium, Large };

inline constexpr auto canal_sizes = rows_of<NameRow<CanalSize>>({
    {CanalSize::Small, "small"},
    {CanalSize::Medium, "medium"},
    {CanalSize::Large, "large"},
});

/// As written in files: "small", "medium", "large".
[[nodiscard]] constexpr std::string_view name_of(CanalSize size) { return canal_sizes[size].name; }

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
[[nodiscard]] inline bool has_data(const AttenuationData& attenuation) {
    return attenuation.octave || any_stated(attenuation.ratings);
}

/// What is taken of something of which nothing is known or published: 0 dB by every method.
[[nodiscard]] inline AttenuationData no_attenuation(ProtectorType type) {
    constexpr LevelDifference none{0.0};
    AttenuationData nothing{.type = type, .octave = OctaveAttenuation()};
    for (std::size_t n = index_of(OctaveBand::Hz63); n <= index_of(OctaveBand::Hz8000); ++n)
        nothing.octave->set(octave_bands[n], none, none);
    for (const RatingRow& row : rating_rows)
        nothing.ratings.*row.value = none;
    nothing.ratings.PAR.reset();  // what a fit test says, of which there is none
    return nothing;
}

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
    [[nodiscard]] bool goes_under_earmuff() const {
        return protector_types[type].goes_under_earmuff;
    }
    /// Head-coil pads count as measured or not at all: nothing published is found of them.
    [[nodiscard]] AttenuationData attenuation() const {
        if (type == ProtectorType::Pad && !octave && !ratings.PAR) return no_attenuation(type);
        return {.type = type, .octave = octave, .ratings = ratings};
    }
};

}  // namespace earbudget
