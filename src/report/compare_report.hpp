#pragma once

#include <string>
#include <vector>

#include "earbudget/advice/compare.hpp"
#include "report/source_file.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

/// An earlier version that an assessment is compared with.
struct Earlier {
    Comparison comparison;
    SourceFile file;
};

/// What changed for one person, or alike for several, and of which limits.
struct PersonCompared {
    std::vector<std::string> ids = {};
    std::string change = {};  ///< without the names
    std::vector<std::string> criteria = {};
};

/// What changed between two versions of a plan in words, without line breaks.
struct Compared {
    std::string heading = {};
    std::vector<std::string> session = {};  ///< its length, each sequence
    std::vector<PersonCompared> people = {};
};

/// Who it is and what changed.
[[nodiscard]] std::string sentence_of(const PersonCompared& person, const TextStyle& style);

[[nodiscard]] Compared compare_sentences(const Comparison& comparison, const SourceFile& earlier,
                                         const TextStyle& style);

/// What changed between two versions of a plan, person by person, for a terminal.
[[nodiscard]] std::string compare_text(const Comparison& comparison, const SourceFile& earlier,
                                       const TextStyle& style);

}  // namespace earbudget::report
