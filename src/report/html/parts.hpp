#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/decision/assessment.hpp"
#include "earbudget/decision/working.hpp"
#include "report/record.hpp"

namespace earbudget::report::html {

/// An answer to be read first: its words strong, its bar by the verdict; both texts.
[[nodiscard]] std::string answer(Verdict verdict, std::string_view strong, std::string_view rest);

/// What must be read with every decision, once more short and near it.
[[nodiscard]] std::string short_cautions();

/// The sections at the end of every page: record and cautions; `more` cautions stand first.
[[nodiscard]] std::string record_section(const Record& record, const RulesUsed& rules);
[[nodiscard]] std::string cautions_section(const std::vector<std::string>& more = {});

/// The working, unfolded; `of` is text that names whose. Empty without steps.
[[nodiscard]] std::string working_block(std::string_view of, const Working& working);

/// "earbudget 0.2.0, 2026-02-28" for the page's foot.
[[nodiscard]] std::string foot(const Record& record);

}  // namespace earbudget::report::html
