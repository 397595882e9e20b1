#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/computing/rows.hpp"
#include "earbudget/protection/ratings.hpp"

namespace earbudget {

/// Published ways from the sound outside to the A-weighted level at the ear, before derating, in
/// the order in which "best" tries them: what is known of the person first, then of the spectrum.
enum class Method { Par, Octave, Hml, Snr, NrrSf, Nrr, Slc80 };

/// Spectral allowance on the NRR where no C-weighted level is known (29 CFR 1910.95, appendix B).
inline constexpr LevelDifference nrr_allowance_with_A{7.0};

struct MethodUse;
struct AttenuationData;
struct MethodRow;
struct Unavailable;

/// The level at the ear of each method, by the formulas of method_formulas.hpp.
namespace level_by {
[[nodiscard]] LevelA par(MethodUse& use);
[[nodiscard]] LevelA octave(MethodUse& use);
[[nodiscard]] LevelA hml(MethodUse& use);
[[nodiscard]] LevelA snr(MethodUse& use);
[[nodiscard]] LevelA nrr_sf(MethodUse& use);
[[nodiscard]] LevelA nrr(MethodUse& use);
[[nodiscard]] LevelA slc80(MethodUse& use);
}  // namespace level_by

/// What a method lacks; none where it has all that it needs.
namespace lacking_for {
using Lacking = std::optional<Unavailable>;
[[nodiscard]] Lacking rating(const MethodRow&, const SoundLevels&, const AttenuationData&);
[[nodiscard]] Lacking rating_and_C(const MethodRow&, const SoundLevels&, const AttenuationData&);
[[nodiscard]] Lacking octave(const MethodRow&, const SoundLevels&, const AttenuationData&);
[[nodiscard]] Lacking hml(const MethodRow&, const SoundLevels&, const AttenuationData&);
[[nodiscard]] Lacking snr(const MethodRow&, const SoundLevels&, const AttenuationData&);
}  // namespace lacking_for

/// Whether a method would have to compute its rating from octave data, since no label states it.
namespace must_compute {
[[nodiscard]] bool nothing(const AttenuationData& worn);
[[nodiscard]] bool hml(const AttenuationData& worn);
[[nodiscard]] bool snr(const AttenuationData& worn);
}  // namespace must_compute

/// How many people get more than the attenuation that a figure stands for.
struct PeopleServed {
    double percent = 0.0;               ///< 0: nobody in particular
    std::string_view attenuation = {};  ///< "mean − sd"; empty where it is not stated
};

struct MethodRow {
    Method key;
    std::string_view name;  ///< as written in files
    std::string_view source;
    std::optional<Rating> rating;  ///< that it takes off; none: octave bands, or H, M and L
    std::string_view formula;      ///< with octave bands or LC, or what needs LA alone by itself
    /// Where it defines an allowance for LA alone; else empty. That of `nrr` holds without a
    /// derating (derating.hpp).
    std::string_view formula_from_A;
    /// The people for whom its figure is, who get the attenuation mean + z·sd; none: z = −α of the
    /// protection performance asked for (ISO 4869-2).
    std::optional<double> z;
    PeopleServed people;  ///< those in percent; none: nobody in particular, or by z
    LevelA (*level)(MethodUse& use);
    std::optional<Unavailable> (*lacks)(const MethodRow& row, const SoundLevels& sound,
                                        const AttenuationData& worn);
    bool (*must_compute)(const AttenuationData& worn) = must_compute::nothing;

    /// Whether its figure is for the protection performance that is asked for.
    [[nodiscard]] constexpr bool follows_performance() const { return !z; }
};

inline constexpr auto method_rows = rows_of<MethodRow>({
    // What a catalogue states as PAR is what others reached, on average.
    {Method::Par,
     "par",
     "individual fit test, as NIOSH 2025-104 prefers it",
     Rating::PAR,
     "L'A = LA − PAR",
     "",
     0.0,
     {},
     level_by::par,
     lacking_for::rating},
    {Method::Octave,
     "octave",
     "ISO 4869-2:2018, clause 6 (octave-band method)",
     std::nullopt,
     "L'A = 10 lg Σ 10^((LA,f − APV,f)/10), LA,f = Lf + Af, APV,f = mean − α·sd",
     "",
     std::nullopt,
     {},
     level_by::octave,
     lacking_for::octave},
    {Method::Hml,
     "hml",
     "ISO 4869-2:2018, clause 7 (HML method)",
     std::nullopt,
     "PNR = M − (H − M)/4·(LC − LA − 2) for LC − LA ≤ 2 dB, else "
     "M − (M − L)/8·(LC − LA − 2); L'A = LA − PNR",
     "",
     std::nullopt,
     {},
     level_by::hml,
     lacking_for::hml,
     must_compute::hml},
    {Method::Snr,
     "snr",
     "ISO 4869-2:2018, clause 8 (SNR method)",
     Rating::SNR,
     "L'A = LC − SNR",
     "",
     std::nullopt,
     {},
     level_by::snr,
     lacking_for::snr,
     must_compute::snr},
    // It takes off one standard deviation (ANSI S12.6 method B; memory).
    {Method::NrrSf,
     "nrr-sf",
     "NRR(SF), ANSI S12.6 method B (memory, edition not confirmed)",
     Rating::NRR_SF,
     "L'A = LC − NRR(SF)",
     "L'A = LA − (NRR(SF) − 5)",
     -1.0,
     {84.0, "mean − sd"},
     level_by::nrr_sf,
     lacking_for::rating},
    // It takes off two standard deviations (40 CFR 211.207).
    {Method::Nrr,
     "nrr",
     "29 CFR 1910.95, appendix B (NRR)",
     Rating::NRR,
     "L'A = LC − NRR",
     "L'A = LA − (NRR − 7)",
     -2.0,
     {98.0, "mean − 2 sd"},
     level_by::nrr,
     lacking_for::rating},
    // It takes off one standard deviation (AS/NZS 1270; memory).
    {Method::Slc80,
     "slc80",
     "AS/NZS 1269.3, SLC80 (memory, edition not confirmed)",
     Rating::SLC80,
     "L'A = LC − SLC80",
     "",
     -1.0,
     {80.0},
     level_by::slc80,
     lacking_for::rating_and_C},
});

/// The order in which "best" tries them.
inline constexpr auto methods_best_first = method_rows.keys();

/// As written in files for the best that the data allow.
inline constexpr std::string_view name_of_best_method = "best";

/// As written in files: "octave", "hml", "snr", "nrr", "nrr-sf", "slc80", "par".
[[nodiscard]] constexpr std::string_view name_of(Method method) { return method_rows[method].name; }

/// The document and clause that define it.
[[nodiscard]] constexpr std::string_view source_of(Method method) {
    return method_rows[method].source;
}

/// How a method is used, by what is known of the sound.
enum class MethodForm {
    AsDefined,     ///< with octave bands or LC, or what needs LA alone by itself
    SpectrumLike,  ///< so too, but with the octave bands of another card
    CheckM,        ///< EN 458's HML check, LA − M: no strong low frequencies
    CheckL,        ///< the same, LA − L: strong low frequencies, or nothing is stated
    SnrFromA,      ///< LA + 5 − SNR: no strong low frequencies
    FromA          ///< NRR and NRR(SF) from LA, with the allowance that they define
};

struct MethodFormRow {
    MethodForm key;
    std::string_view name;     ///< as written in JSON
    std::string_view words;    ///< for people, after the name of the method; empty as defined
    std::string_view source;   ///< empty: the method's
    std::string_view formula;  ///< empty: the method's
};

inline constexpr auto method_forms = rows_of<MethodFormRow>({
    {MethodForm::AsDefined, "as-defined", "", "", ""},
    {MethodForm::SpectrumLike, "spectrum-like", "with another card's octave bands", "", ""},
    {MethodForm::CheckM, "hml-check-M", "from LA alone, LA − M",
     "EN 458 (HML check; edition not confirmed)", "L'A = LA − M"},
    {MethodForm::CheckL, "hml-check-L", "from LA alone, LA − L",
     "EN 458 (HML check; edition not confirmed)", "L'A = LA − L"},
    {MethodForm::SnrFromA, "snr-from-LA", "from LA alone, LA + 5 − SNR",
     "EN 458 (SNR from LA; memory, edition not confirmed)", "L'A = LA + 5 − SNR"},
    {MethodForm::FromA, "from-LA", "from LA alone", "", ""},
});

/// As written in JSON: "as-defined", "spectrum-like", "hml-check-M", …
[[nodiscard]] constexpr std::string_view name_of(MethodForm form) {
    return method_forms[form].name;
}

/// For people, after the name of the method: "from LA alone, LA − L"; empty as defined.
[[nodiscard]] constexpr std::string_view words_of(MethodForm form) {
    return method_forms[form].words;
}

/// Whether a form stands in for what the method defines, from LA alone.
[[nodiscard]] constexpr bool is_check(MethodForm form) {
    return !method_forms[form].source.empty();
}

/// The document and clause of a form.
[[nodiscard]] constexpr std::string_view source_of(Method method, MethodForm form) {
    return is_check(form) ? method_forms[form].source : method_rows[method].source;
}

/// The formula of a form with its source.
[[nodiscard]] constexpr Formula formula_of(Method method, MethodForm form) {
    const MethodRow& row = method_rows[method];
    const bool from_A = form == MethodForm::FromA;
    return {is_check(form) ? method_forms[form].formula
            : from_A       ? row.formula_from_A
                           : row.formula,
            source_of(method, form)};
}

}  // namespace earbudget
