#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/advice/assess.hpp"
#include "earbudget/advice/assess_study.hpp"
#include "earbudget/advice/hand_out.hpp"
#include "earbudget/advice/study_advice.hpp"
#include "earbudget/choice/work_size.hpp"
#include "files/study_files.hpp"
#include "files/text_inputs.hpp"
#include "files/visits_file.hpp"
#include "overview/study_answers.hpp"
#include "report/record.hpp"
#include "report/reports.hpp"

namespace earbudget::answers {

/// When and with which draws something is answered; the same give the same bytes.
struct When {
    std::string date;        ///< YYYY-MM-DD, by which cards are old
    std::uint64_t seed = 1;  ///< of the draws
};

/// A plan as it was read, with when it is answered.
void settle(Plan& plan, const When& when);

/// Whether what to hand out, of so much work, is found soon enough for a first answer; own choice.
[[nodiscard]] bool can_be_looked_for(const WorkSize& size);

/// A plan with its assessment, once it is made, which points into it.
class AssessedPlan {
  public:
    /// Reads the plan, and computes nothing yet. Throws InputErrors.
    AssessedPlan(const std::string& path, const When& when, files::TextInputs& inputs);
    AssessedPlan(const AssessedPlan&) = delete;
    AssessedPlan& operator=(const AssessedPlan&) = delete;

    void assess(Tracing tracing, bool with_courses);
    /// What is handed out, of what was assessed; found once.
    [[nodiscard]] const HandOuts& hand_outs();

    [[nodiscard]] report::Record record(const files::TextInputs& inputs) const;

    files::LoadedPlan loaded;
    report::SourceFile file;
    Assessment assessment = {};
    std::string date;

  private:
    std::optional<HandOuts> outs_ = std::nullopt;
};

/// A study of visits likewise.
class AssessedStudy {
  public:
    AssessedStudy(const std::string& path, const When& when, files::TextInputs& inputs);
    AssessedStudy(const AssessedStudy&) = delete;
    AssessedStudy& operator=(const AssessedStudy&) = delete;

    void assess();
    /// What to hand out and to do, where that is asked for.
    void advise();

    /// Points into this.
    [[nodiscard]] overview::StudyReport report(const report::Record& record) const;
    [[nodiscard]] report::Record record(const files::TextInputs& inputs) const;

    files::LoadedStudy loaded;
    report::SourceFile file;
    std::vector<report::SourceFile> plans;  ///< of each visit
    StudyAssessment assessment = {};
    std::optional<StudyAdvice> advice = std::nullopt;
    std::string date;
};

}  // namespace earbudget::answers
