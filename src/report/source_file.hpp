#pragma once

#include <string>

namespace earbudget::report {

/// A file that a report was made from, as the user named it.
struct SourceFile {
    std::string path;
    std::string sha256;
};

}  // namespace earbudget::report
