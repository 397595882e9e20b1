#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

/// The variables of a day, each there once: an error has a kind and a name, and whoever asks for
/// the same gets the same variable.
class ErrorVariables {
  public:
    /// The errors must outlive this.
    explicit ErrorVariables(DayErrors& errors) : errors_(errors) {}

    /// The index of that variable in DayErrors::variables; it is added where it is new.
    [[nodiscard]] std::size_t of(ErrorKind kind, const std::string& name);

  private:
    DayErrors& errors_;
    std::map<std::uint64_t, std::size_t> known_;  // by stream
};

/// The errors of what is worn during the rows of a day, asked for in the order of the rows.
class ProtectionErrors {
  public:
    /// All must outlive this.
    ProtectionErrors(const Plan& plan, const Person& person, const ExposureDay& day,
                     ErrorVariables& variables, DayErrors& errors)
        : plan_(plan), person_(person), day_(day), variables_(variables), errors_(errors) {}

    /// What one insertion differs by from another (k = 1): a fit test says it, else the person's
    /// own figure does.
    [[nodiscard]] LevelDifference fit_of(const ExposureRow& row) const;

    /// The protection of a row in one session; none where nothing is worn, nor could be.
    [[nodiscard]] std::optional<SegmentProtection> of(const ExposureRow& row, unsigned session);

    /// Ends a row: after one with `reinsert` the next insertion counts.
    void end(const ExposureRow& row);

  private:
    [[nodiscard]] bool is_fit_tested(const ExposureRow& row) const;
    [[nodiscard]] bool has_own_protection(const ExposureRow& row) const;
    [[nodiscard]] const std::vector<std::string>& worn_in(const ExposureRow& row) const;
    [[nodiscard]] std::optional<std::size_t> owner_of(const ExposureRow& row) const;
    [[nodiscard]] std::string insertion_of(const ExposureRow& row, unsigned session);
    [[nodiscard]] std::optional<ErrorTerm> wearing_time(const ExposureRow& row);
    [[nodiscard]] const PeopleSpread* spread_of(const ExposureRow& row);

    const Plan& plan_;
    const Person& person_;
    const ExposureDay& day_;
    ErrorVariables& variables_;
    DayErrors& errors_;
    std::map<const Prediction*, const PeopleSpread*> spreads_;
    std::map<std::pair<const std::vector<std::string>*, double>, std::optional<AttenuationData>>
        attenuations_;                                           // by what is worn and alpha
    std::map<std::optional<std::size_t>, unsigned> insertions_;  // so far, by owner_of
};

}  // namespace earbudget
