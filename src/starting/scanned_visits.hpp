#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bids/scans.hpp"

namespace earbudget::starting {

/// One person's day in the scanner: a session of scans, or several of one day.
struct ScannedVisit {
    std::string participant = {};                     ///< "sub-01"; empty: the folder knows none
    std::vector<const bids::Session*> sessions = {};  ///< at least one, in their order
    std::optional<double> day = std::nullopt;  ///< of the scans' calendar, which may be shifted

    /// "sub-01/ses-01", of several "sub-01/ses-01 and sub-01/ses-02"; "one session" without names.
    [[nodiscard]] std::string name() const;
    /// The same without the participant.
    [[nodiscard]] std::string title() const;
    [[nodiscard]] std::vector<std::string> names() const;
    /// Of all runs whose duration is known.
    [[nodiscard]] Seconds time() const;
};

/// A participant's visits, in their order, with the days between them where dates tell.
struct VisitsOfOne {
    std::string participant;
    std::vector<std::size_t> visits = {};  ///< places among all visits
    /// From the visit before, in the order of `visits`; none where it is not known.
    std::vector<std::optional<unsigned>> days_apart = {};
};

/// The visits of scans, in the order of their sessions' names. Sessions of one participant that
/// began on one day of the calendar are one visit.
[[nodiscard]] std::vector<ScannedVisit> visits_of(const bids::Scans& scans);

/// The same by participant, those alone who came several times: in the order of their days where
/// all of them have one and none is more than ten years after the one before (dates are often
/// shifted, by session too), else in that of their names, without days between them.
[[nodiscard]] std::vector<VisitsOfOne> by_participant(const std::vector<ScannedVisit>& visits);

}  // namespace earbudget::starting
