#pragma once

#include <optional>
#include <string_view>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/computing/rows.hpp"
#include "earbudget/protection/octave_attenuation.hpp"

namespace earbudget {

/// Ratings of a hearing protector as stated on its label or found in a fit test, in dB. Each member
/// has its row in `rating_rows`.
struct Ratings {
    std::optional<LevelDifference> SNR = std::nullopt;  ///< for 84 % of people
    std::optional<LevelDifference> H = std::nullopt;
    std::optional<LevelDifference> M = std::nullopt;
    std::optional<LevelDifference> L = std::nullopt;
    std::optional<LevelDifference> NRR = std::nullopt;
    std::optional<LevelDifference> NRR_SF = std::nullopt;  ///< subject fit
    std::optional<LevelDifference> SLC80 = std::nullopt;
    std::optional<LevelDifference> PAR = std::nullopt;  ///< personal attenuation rating
};

enum class Rating { SNR, H, M, L, NRR, NRR_SF, SLC80, PAR };

/// What is taken as the rating of two worn together that nobody measured (worn.hpp).
enum class OfPair {
    Higher,         ///< the higher of the two
    HigherOfLabel,  ///< the higher of the two for the protection performance asked for
    NotKnown        ///< no publication gives an estimate
};

/// Whether a rating follows from octave-band data.
enum class FromOctaves { ByEdition, ByOneRule, Never };

struct RatingRow {
    Rating key;
    std::string_view name;   ///< as written in files and JSON
    std::string_view words;  ///< for people
    std::optional<LevelDifference> Ratings::*value;
    FromOctaves from_octaves;
    OfPair of_pair;
    std::string_view source;
};

inline constexpr auto rating_rows = rows_of<RatingRow>({
    {Rating::SNR, "SNR", "SNR", &Ratings::SNR, FromOctaves::ByEdition, OfPair::HigherOfLabel,
     "ISO 4869-2:2018, clause 8"},
    {Rating::H, "H", "H", &Ratings::H, FromOctaves::ByEdition, OfPair::NotKnown,
     "ISO 4869-2:2018, clause 7"},
    {Rating::M, "M", "M", &Ratings::M, FromOctaves::ByEdition, OfPair::NotKnown,
     "ISO 4869-2:2018, clause 7"},
    {Rating::L, "L", "L", &Ratings::L, FromOctaves::ByEdition, OfPair::NotKnown,
     "ISO 4869-2:2018, clause 7"},
    {Rating::NRR, "NRR", "NRR", &Ratings::NRR, FromOctaves::ByOneRule, OfPair::Higher,
     "40 CFR 211.207"},
    {Rating::NRR_SF, "NRR_SF", "NRR_SF", &Ratings::NRR_SF, FromOctaves::Never, OfPair::Higher,
     "ANSI S12.6, method B (memory, edition not confirmed)"},
    {Rating::SLC80, "SLC80", "SLC80", &Ratings::SLC80, FromOctaves::Never, OfPair::Higher,
     "AS/NZS 1270 (memory, edition not confirmed)"},
    {Rating::PAR, "PAR", "PAR (an individual's fit test)", &Ratings::PAR, FromOctaves::Never,
     OfPair::NotKnown, "individual fit test"},
});

static_assert(sizeof(Ratings) == rating_rows.size() * sizeof(Ratings::SNR),
              "a rating has no row, or a row no rating");

[[nodiscard]] constexpr std::string_view name_of(Rating rating) { return rating_rows[rating].name; }

/// What is stated of one rating.
[[nodiscard]] constexpr const std::optional<LevelDifference>& stated_rating(const Ratings& ratings,
                                                                            Rating rating) {
    return ratings.*rating_rows[rating].value;
}

/// Whether any rating is stated.
[[nodiscard]] bool any_stated(const Ratings& ratings);

/// H, M and L of ISO 4869-2:2018.
struct Hml {
    LevelDifference H;
    LevelDifference M;
    LevelDifference L;

    bool operator==(const Hml&) const = default;
};

/// H, M and L where all three are stated.
[[nodiscard]] std::optional<Hml> stated_hml(const Ratings& ratings);

/// α at which labels of H, M, L and SNR hold: 84 % of people (ISO 4869-2:2018, clause 5).
inline constexpr double alpha_of_labels = 1.0;

/// Protection performance of ISO 4869-2:2018: the percentage of people who get at least the assumed
/// protection, and the α that belongs to it.
class ProtectionPerformance {
  public:
    static constexpr double lowest_percent = 50.0;
    static constexpr double highest_percent = 98.0;

    /// That of labels.
    constexpr ProtectionPerformance() = default;

    /// `percent` from 50 to 98.
    explicit constexpr ProtectionPerformance(double percent) : percent_(percent) {}

    [[nodiscard]] constexpr double percent() const { return percent_; }

    /// α of ISO 4869-2:2018, table 1, where the percentage is tabled, else the normal quantile,
    /// held between the tabled neighbours.
    [[nodiscard]] double alpha() const;

    /// The performance that labels are made for: 84 %, α = 1 (ISO 4869-2:2018, clause 5).
    [[nodiscard]] bool is_of_labels() const { return alpha() == alpha_of_labels; }

    /// Whether more people are to be protected than a label says.
    [[nodiscard]] bool is_above_labels() const { return alpha() > alpha_of_labels; }

    constexpr bool operator==(const ProtectionPerformance&) const = default;

  private:
    static constexpr double label_percent = 84.0;

    double percent_ = label_percent;
};

/// A rating of ISO 4869-2:2018 for a protection performance.
template <class Value>
struct RatingAt {
    Value value;
    bool from_octaves = false;  ///< else as the label states it
    bool of_84 = false;         ///< a label, which holds for 84 %, for want of octave data
};

/// The SNR that counts for a protection performance, whose α is given: at 84 % the label's, which
/// is made for it, else that of the octave data, rounded as a label is, else the label's all the
/// same. None where neither is there.
///
/// Where the label and the octave data disagree, that of a stricter performance than 84 % is never
/// above the label and that of a laxer one never below it, so that whoever asks for more is never
/// told of more (own choice).
[[nodiscard]] std::optional<RatingAt<LevelDifference>> snr_at(
    const Ratings& label, const std::optional<OctaveAttenuation>& octave, double alpha);

/// H, M and L in the same way; a label counts where it states all three.
[[nodiscard]] std::optional<RatingAt<Hml>> hml_at(const Ratings& label,
                                                  const std::optional<OctaveAttenuation>& octave,
                                                  double alpha);

}  // namespace earbudget
