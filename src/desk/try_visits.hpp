#pragma once

#include <optional>
#include <string>
#include <vector>

#include "desk/desk.hpp"
#include "desk/try_cells.hpp"
#include "desk/try_trial.hpp"

namespace earbudget::desk::trying {

// A study of visits in a form: which plan, how often, how far apart.

/// A visit as it is typed.
struct VisitRow {
    std::string key;
    std::optional<std::size_t> from = std::nullopt;  ///< entry of the file; none: it is new
    std::string plan = {}, title = {}, times = {}, apart = {};

    bool operator==(const VisitRow&) const = default;
};

struct VisitsForm {
    std::vector<VisitRow> rows = {};
    Shown shown = {};
};

[[nodiscard]] VisitsForm visits_in_file(const files::TomlTable& study, std::size_t first);
[[nodiscard]] VisitsForm visits_sent(const serving::Form& sent);
[[nodiscard]] Fields fields_of(const VisitsForm& form);
/// "up", "down", "remove", "like" with the key of a visit.
void press(std::string_view what, const std::string& key, VisitsForm& form);

/// What a form asks to change, and the key of each visit then; empty for what it does not show.
struct VisitsEdits {
    std::vector<editing::Edit> edits = {};
    std::vector<std::string> visits = {};
};
[[nodiscard]] VisitsEdits edits_for(const VisitsForm& asked, const files::TomlTable& study);

/// A study as a form changes it, assessed by the code of the command line.
class VisitsTrial {
  public:
    VisitsTrial(const Opened& desk, const PlanFile& file, const VisitsForm& form);
    VisitsTrial(const VisitsTrial&) = delete;
    VisitsTrial& operator=(const VisitsTrial&) = delete;

    [[nodiscard]] bool is_answered() const { return is_answered_; }
    [[nodiscard]] const answers::AssessedStudy& study() const { return *study_; }
    [[nodiscard]] const std::string& text() const { return text_; }
    [[nodiscard]] const VisitsForm& form() const { return form_; }
    [[nodiscard]] const Wrong& wrong() const { return wrong_; }
    [[nodiscard]] const std::vector<std::string>& wrong_elsewhere() const {
        return wrong_elsewhere_;
    }

    [[nodiscard]] std::string json() const;
    [[nodiscard]] report::Document document() const;

  private:
    void compute(const Opened& desk, const PlanFile& file);
    void list(const InputError& error);

    std::string path_;  // of the study
    VisitsForm form_;
    VisitsEdits edits_;
    std::string text_;
    std::unique_ptr<answers::AssessedStudy> study_ = nullptr;
    report::Record record_ = {};
    bool is_answered_ = false;
    Wrong wrong_ = {};
    std::vector<std::string> wrong_elsewhere_ = {};
};

}  // namespace earbudget::desk::trying
