#pragma once

#include <string>
#include <vector>

#include "files/output.hpp"
#include "report/record.hpp"
#include "report/shape.hpp"
#include "starting/drafted_study.hpp"

namespace earbudget::starting {

/// A study as it was written, and what it was made of.
struct StartedStudy {
    std::string folder;
    DraftedStudy study;
    std::vector<files::OutputFile> files = {};  ///< by their names within the folder
    report::Record record = {};
};

/// A value that nobody measured or stated.
struct InventedValue {
    std::string file;   ///< within the folder
    unsigned line = 1;  ///< where it stands
    std::string key;    ///< "timeline[2].duration", tables counted from 1
    std::string value;  ///< as it is written, TOML
};

/// Those of the files of a study, as the files themselves mark them.
[[nodiscard]] std::vector<InventedValue> invented_in(const std::vector<files::OutputFile>& files);

/// What was written, what in it is invented, what was taken otherwise, matched by nothing or passed
/// over, as JSON with a line break at its end.
[[nodiscard]] std::string started_json(const StartedStudy& started);
[[nodiscard]] const report::ObjectShape& started_shape();

}  // namespace earbudget::starting
