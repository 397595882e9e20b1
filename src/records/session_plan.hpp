#pragma once

#include <optional>
#include <string>

#include "files/study_files.hpp"
#include "sessions/bodies.hpp"
#include "sessions/exposure_record.hpp"

namespace earbudget::records {

/// A plan as a session uses it, as its files are now. Cards that it does not have can be added.
struct SessionPlan {
    files::LoadedPlan loaded;
    std::string path;  ///< as it was named
    sessions::PlanRef ref = {};
    files::TextInputs inputs = {};

    [[nodiscard]] const Plan& plan() const { return loaded.plan; }

    /// Throws InputError at the plan, which names those that there are.
    [[nodiscard]] const Person& person(const std::string& id) const;
    /// The sequence with this id; throws InputError likewise.
    [[nodiscard]] std::size_t sequence(const std::string& id) const;

    /// From what a person's exposure to a sequence, or to nothing running, is computed: the plan,
    /// its catalogue and site, and the one card.
    [[nodiscard]] sessions::Provenance provenance(
        std::optional<std::size_t> sequence = std::nullopt) const;
    [[nodiscard]] sessions::FileHash card(std::size_t sequence) const;

    /// How long one run of it lasts first in the timeline; none where it is not planned.
    [[nodiscard]] std::optional<Seconds> planned_time(std::size_t sequence) const;

    /// The time zone that the plan's site states, and where.
    [[nodiscard]] std::optional<files::Located<std::string>> time_zone();

    /// Adds the card of a file, for what was not planned; its index. One with the id of another
    /// card of the plan is refused, the very same is that of the plan.
    std::size_t add_card(const std::string& card);
};

/// Reads a plan for a session at a moment of the site's calendar day. Throws InputErrors.
[[nodiscard]] SessionPlan read_session_plan(const std::string& path, const std::string& date);

}  // namespace earbudget::records
