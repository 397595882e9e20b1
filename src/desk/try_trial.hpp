#pragma once

#include <functional>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "answers/assessed.hpp"
#include "desk/desk.hpp"
#include "desk/studies.hpp"
#include "desk/try_cells.hpp"
#include "desk/try_edits.hpp"
#include "desk/try_form.hpp"

namespace earbudget::desk::trying {

/// A plan's file as it is now.
struct PlanFile {
    Listed listed;
    std::string text;
    std::string sha256;
    files::TomlTable tree;
};

/// The one of that name. Throws InputError for anything else, and for what is no TOML.
[[nodiscard]] PlanFile plan_file(const Opened& desk, const std::string& name);

inline constexpr std::string_view too_much_for_a_page =
    "Too much to be computed while a page waits; the command line computes it: save it and run "
    "earbudget assess.";

/// Does what a trial needs; each mistake of a file goes to `list`, what else stands in the way to
/// `elsewhere`, in words.
void attempt(const std::function<void()>& work, const std::function<void(const InputError&)>& list,
             std::vector<std::string>& elsewhere);

/// A plan as a form changes it, read and assessed by the code of the command line, of a text that
/// nobody saved yet.
class Trial {
  public:
    /// How much is computed: what a page shows, or verdicts for a comparison.
    enum class Depth { Whole, Verdicts };
    Trial(const Opened& desk, const PlanFile& file, const TrialForm& form,
          Depth depth = Depth::Whole);
    Trial(const Trial&) = delete;
    Trial& operator=(const Trial&) = delete;

    /// Whether it could be computed; else `wrong` and `wrong_elsewhere` say why not.
    [[nodiscard]] bool is_answered() const { return is_answered_; }
    [[nodiscard]] const Assessment& assessment() const { return plan_->assessment; }
    [[nodiscard]] const answers::AssessedPlan& plan() const { return *plan_; }
    /// Null where it would take too long to look for.
    [[nodiscard]] const HandOuts* outs() const { return outs_; }
    [[nodiscard]] const report::Record& record() const { return record_; }
    [[nodiscard]] const std::string& text() const { return text_; }
    [[nodiscard]] const TrialEdits& edits() const { return edits_; }
    [[nodiscard]] const TrialForm& form() const { return form_; }

    /// What is wrong, by the name of the field that it is wrong in.
    [[nodiscard]] const Wrong& wrong() const { return wrong_; }
    /// And what is shown in no field.
    [[nodiscard]] const std::vector<std::string>& wrong_elsewhere() const {
        return wrong_elsewhere_;
    }

    /// As `assess --format json` prints it of the saved text.
    [[nodiscard]] std::string json() const;
    /// The whole report.
    [[nodiscard]] std::string page() const;

  private:
    void compute(const Opened& desk, const PlanFile& file, Depth depth);
    void list(const InputError& error);

    std::string path_;  // of the plan
    TrialForm form_;
    TrialEdits edits_;
    std::string text_;
    std::unique_ptr<answers::AssessedPlan> plan_ = nullptr;
    const HandOuts* outs_ = nullptr;
    report::Record record_ = {};
    bool is_answered_ = false;
    Wrong wrong_ = {};
    std::vector<std::string> wrong_elsewhere_ = {};
};

}  // namespace earbudget::desk::trying
