#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/measuring/measure.hpp"

namespace earbudget {

/// The one that serves a channel: its own, or the one for all.
template <class T>
const T& for_channel(const std::vector<T>& all, std::size_t index) {
    return all[all.size() == 1 ? 0 : index];
}

/// How a channel's levels become levels in air, or why they cannot.
struct ChannelCalibration {
    std::optional<Calibration> calibration = std::nullopt;
    std::optional<CalibratorTone> tone = std::nullopt;
    std::optional<LevelZ> produced = std::nullopt;  ///< by the calibrator
    std::optional<LevelDifference> drift = std::nullopt;
    std::string how = {};  ///< where it is stated, for the reader
    std::vector<Finding> findings = {};
    SourceState state = {};                          ///< of its recordings, as if they were one
    std::optional<Finding> why_none = std::nullopt;  ///< where there is no calibration
};

/// The calibration of one channel, counted from 0: none by a tone of a recording that is not whole,
/// unless that is accepted.
[[nodiscard]] ChannelCalibration calibration_of(const CalibrationSource& source, std::size_t index,
                                                bool accept_length = false);

/// How a channel's calibration, background correction and uncertainty came about, from what the
/// channel carries.
[[nodiscard]] Working working_of(const MeasuredChannel& channel);

}  // namespace earbudget
