#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/assessment.hpp"
#include "report/working.hpp"

namespace earbudget::report {

/// A file that a report was made from, as the user named it.
struct SourceFile {
    std::string path;
    std::string sha256;
};

/// Something published that a result rests on.
struct NamedSource {
    std::string id;
    std::string source;  ///< document and clause

    bool operator==(const NamedSource&) const = default;
};

/// The rules of a result, each once, in the order of their use.
struct RulesUsed {
    std::vector<NamedSource> methods;
    std::vector<NamedSource> deratings;
    std::vector<NamedSource> criteria;
};

[[nodiscard]] RulesUsed rules_of(const Assessment& assessment);
[[nodiscard]] RulesUsed rules_of(const std::vector<PersonChoice>& choices);

/// Ratings from octave-band data.
[[nodiscard]] RulesUsed rules_of_ratings();

/// Levels from recordings.
[[nodiscard]] RulesUsed rules_of_measuring();

/// What somebody had heard before the plan begins, of which an assessment is too.
struct HeardBefore {
    std::string id;                              ///< in the plan
    std::string as;                              ///< by which code a register knows them
    std::vector<CriterionResult> criteria = {};  ///< what they heard against each limit
    bool stopped = false;  ///< by pain, ringing or dulled hearing that nobody has cleared
};
struct StartedFrom {
    SourceFile of_register;  ///< with its head, "N:HASH", in the place of a sum
    std::string time_zone;
    std::string at;  ///< when the plan's day begins, RFC 3339
    std::vector<HeardBefore> people = {};
};

/// What a report was made of, so that it can be kept and made again: the same record and inputs
/// give the same bytes.
struct Record {
    std::string date;                ///< YYYY-MM-DD
    std::vector<SourceFile> inputs;  ///< every file read, each once
    /// Of all inputs together: SHA-256 over their hexadecimal sums, sorted, each with a newline.
    std::string fingerprint = {};
    std::optional<DrawSettings> draws = std::nullopt;  ///< none: nothing was drawn at random
    bool with_working = false;                         ///< whether the working is to be shown
    WorkingFor working_for = {};                       ///< what of it
    bool fewer_draws_where_clear = false;    ///< some shares are of the first draws only (choose)
    std::vector<std::string> examples = {};  ///< files used that say their figures are examples
    std::optional<StartedFrom> started_from = std::nullopt;
};

/// "8192 draws of seed 1: …"; the record must have draws.
[[nodiscard]] std::string draws_words(const Record& record);

/// The first line of every answer that rests on examples, and how it ends; empty where none does.
[[nodiscard]] std::string words_on_examples(const Record& record);

/// The first 16 digits of the fingerprint as they are read aloud: "8d3e d4a2 f608 48be".
[[nodiscard]] std::string fingerprint_in_fours(const Record& record);

/// The version of the program, as `project()` states it: "0.3.0". One source holds it, so that a
/// new version compiles one file.
[[nodiscard]] std::string_view program_version();

}  // namespace earbudget::report
