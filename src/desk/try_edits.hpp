#pragma once

#include <string>
#include <utility>
#include <vector>

#include "desk/try_form.hpp"
#include "editing/edit.hpp"
#include "editing/outline.hpp"

namespace earbudget::desk::trying {

/// What a form asks to change in a plan's file, and whose each entry then is.
struct TrialEdits {
    std::vector<editing::Edit> edits = {};
    /// Key of the row of each entry of the timeline, and whether it is the rest after it; empty for
    /// what the form does not show.
    std::vector<std::pair<std::string, bool>> timeline = {};
    std::vector<std::string> people = {};  ///< keys
};

/// Only what differs from the file is changed. What was of a value that is changed goes with it:
/// where a duration was found, a fit test of what was worn before; who is made like somebody has
/// neither their fit test nor their own protectors.
[[nodiscard]] TrialEdits edits_for(const TrialForm& asked, const files::TomlTable& file);

/// The name of the field that a place of the edited text is shown in; empty for none.
[[nodiscard]] std::string field_at(const editing::Outline& edited, const SourcePosition& position,
                                   const TrialEdits& edits);

}  // namespace earbudget::desk::trying
