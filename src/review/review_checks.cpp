#include "earbudget/review/review_checks.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/review/review.hpp"
#include "earbudget/study/card_age.hpp"
#include "review/reviewing.hpp"

namespace earbudget {

std::vector<ReviewCheck> check_card(const Sequence& sequence) {
    std::vector<ReviewCheck> checks;
    check_origin(sequence, checks);
    check_measurement(sequence, checks);
    check_levels(sequence.levels, checks);
    return checks;
}

std::vector<const ReviewCheck*> checks_in(const std::vector<ReviewCheck>& checks,
                                          CheckState state) {
    std::vector<const ReviewCheck*> found;
    for (const ReviewCheck& check : checks) {
        if (check.state == state) found.push_back(&check);
    }
    return found;
}

const ReviewCheck* find_check(const std::vector<ReviewCheck>& checks, CheckCode code) {
    const auto found = std::ranges::find(checks, code, &ReviewCheck::code);
    return found == checks.end() ? nullptr : &*found;
}

std::optional<ReviewCheck> check_of_timing(const Sequence& sequence, const Sequence& replaced) {
    const std::string& now = sequence.origin.timing;
    const std::string& before = replaced.origin.timing;
    if (!now.empty() && now == before) return std::nullopt;
    if (now.empty() || before.empty()) {
        return ReviewCheck{CheckCode::TimingChanged, CheckState::Missing,
                           say<CheckPhrase::TimingUnknown>(), say<CheckPhrase::NameTiming>()};
    }
    return ReviewCheck{CheckCode::TimingChanged, CheckState::Doubtful,
                       say<CheckPhrase::TimingChanged>(before, now),
                       say<CheckPhrase::MeasureNewTiming>()};
}

std::optional<ReviewCheck> check_of_validity(const Sequence& sequence,
                                             const std::vector<Sequence>& cards,
                                             const std::string& date) {
    if (const auto others = superseded_by(sequence, cards); !others.empty()) {
        return ReviewCheck{CheckCode::Validity, CheckState::Doubtful,
                           say<CheckPhrase::SupersededBy>(others), say<CheckPhrase::UseThatOne>()};
    }
    if (sequence.valid_until.empty()) return std::nullopt;
    const bool over = is_stale(sequence, date);
    return ReviewCheck{CheckCode::Validity, over ? CheckState::Doubtful : CheckState::Ok,
                       say<CheckPhrase::ValidUntil>(sequence.valid_until, over),
                       over ? say<CheckPhrase::MeasureAnew>() : Message()};
}

namespace {

// LC − LA for which H, M and L are defined: the regression lines of ISO 4869-2 are read at −2, +2
// and +10 dB (derived).
constexpr LevelDifference lowest_C_minus_A{-2.0};
constexpr LevelDifference highest_C_minus_A{10.0};

// Of a sine, the least that any sound without clipping comes near: 20 lg √2, 3.01 dB.
constexpr LevelDifference crest_of_sine{3.0};
// Above this a single event, a knock perhaps, made the peak (ours).
constexpr LevelDifference highest_crest{30.0};

std::vector<std::string> names_of(OctaveMask bands) {
    std::vector<std::string> names;
    for (const OctaveBand band : octave_bands) {
        if (bands.test(index_of(band))) names.emplace_back(name_of(band));
    }
    return names;
}

ReviewCheck check_bands(const SoundLevels& levels) {
    const OctaveMask bands = levels.a_weighted_octaves().bands();
    if (bands.none()) {
        return {CheckCode::OctaveBands, CheckState::Missing, say<CheckPhrase::NoBands>(),
                say<CheckPhrase::StateBands>()};
    }
    OctaveMask wanted = bands_from_125_Hz();
    wanted.set(index_of(OctaveBand::Hz63));
    const OctaveMask absent = wanted & ~bands;
    if (levels.borrowed) {
        return {CheckCode::OctaveBands, CheckState::Doubtful,
                say<CheckPhrase::BandsBorrowed>(levels.borrowed->card),
                say<CheckPhrase::MeasureBands>()};
    }
    if (absent.none())
        return {CheckCode::OctaveBands, CheckState::Ok, say<CheckPhrase::BandsStated>()};
    return {CheckCode::OctaveBands, CheckState::Doubtful,
            say<CheckPhrase::BandsNotStated>(names_of(absent)), say<CheckPhrase::StateEveryBand>()};
}

ReviewCheck check_LCeq(const SoundLevels& levels) {
    const auto LC = levels.c_weighted_level();
    if (!LC) {
        return {CheckCode::LCeq, CheckState::Missing,
                say<CheckPhrase::NoLCeq>(levels.low_frequency == false),
                say<CheckPhrase::StateLCeq>()};
    }
    return {CheckCode::LCeq, CheckState::Ok,
            say<CheckPhrase::LCeqLevel>(*LC, levels.LCeq.has_value())};
}

void check_C_minus_A(const SoundLevels& levels, std::vector<ReviewCheck>& checks) {
    const auto LC = levels.c_weighted_level();
    if (!LC) return;
    const LevelDifference difference = c_minus_a(*LC, levels.LAeq);
    const bool usual = difference >= lowest_C_minus_A && difference <= highest_C_minus_A;
    checks.push_back({CheckCode::LCminusLA, usual ? CheckState::Ok : CheckState::Doubtful,
                      say<CheckPhrase::LCMinusLA>(decimal_text(difference.dB(), 1), usual),
                      usual ? Message() : say<CheckPhrase::LookAtBothLevels>()});
}

template <class L>
ReviewCheck check_peak(CheckCode code, const std::optional<L>& peak, const Message& missing,
                       const Message& to_do) {
    if (!peak) return {code, CheckState::Missing, missing, to_do};
    return {code, CheckState::Ok,
            say<CheckPhrase::PeakLevel>(*peak, std::is_same_v<L, PeakLevelC>)};
}

/// The peak above the average of the same weighting; none where one is not known.
std::optional<LevelDifference> crest_of(const SoundLevels& levels) {
    const auto LC = levels.c_weighted_level();
    if (levels.LCpeak && LC) return LevelDifference(levels.LCpeak->dB() - LC->dB());
    const auto LZ = levels.octave.sum();
    if (levels.LZpeak && LZ) return LevelDifference(levels.LZpeak->dB() - LZ->dB());
    return std::nullopt;
}

void check_crest(const SoundLevels& levels, std::vector<ReviewCheck>& checks) {
    const auto crest = crest_of(levels);
    if (!crest) return;
    enum class Crest { BelowSine, Knock, Usual };
    const Crest kind = *crest < crest_of_sine   ? Crest::BelowSine
                       : *crest > highest_crest ? Crest::Knock
                                                : Crest::Usual;
    checks.push_back({CheckCode::PeakAboveAverage,
                      kind == Crest::Usual ? CheckState::Ok : CheckState::Doubtful,
                      say<CheckPhrase::PeakAboveAverage>(*crest, kind),
                      kind == Crest::BelowSine ? say<CheckPhrase::SeeHowPeakWasFound>()
                      : kind == Crest::Knock   ? say<CheckPhrase::ListenAtPeak>()
                                               : Message()});
}

ReviewCheck check_range(const SoundLevels& levels) {
    const bool inside = levels.LAeq >= lowest_published && levels.LAeq <= highest_published;
    return {
        CheckCode::LevelRange, inside ? CheckState::Ok : CheckState::Doubtful,
        say<CheckPhrase::LevelInRange>(levels.LAeq, inside, lowest_published, highest_published),
        inside ? Message() : say<CheckPhrase::LookAtCalibration>()};
}

}  // namespace

void check_levels(const SoundLevels& levels, std::vector<ReviewCheck>& checks) {
    checks.push_back(check_range(levels));
    checks.push_back(check_bands(levels));
    checks.push_back(check_LCeq(levels));
    check_C_minus_A(levels, checks);
    checks.push_back(check_peak(CheckCode::LCpeak, levels.LCpeak, say<CheckPhrase::NoLCpeak>(),
                                say<CheckPhrase::StateLCpeak>()));
    checks.push_back(check_peak(CheckCode::LZpeak, levels.LZpeak, say<CheckPhrase::NoLZpeak>(),
                                say<CheckPhrase::StateLZpeak>()));
    check_crest(levels, checks);
}

}  // namespace earbudget
