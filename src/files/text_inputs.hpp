#pragma once

#include <cstddef>
#include <map>
#include <string>

#include "earbudget/study/input_error.hpp"
#include "files/limits.hpp"

namespace earbudget::files {

/// The text files of one run of the program. Each is read once: whatever becomes of the file
/// meanwhile, all that is computed and its hash are of the same bytes.
class TextInputs {
  public:
    /// The whole of a file, read when it is asked for for the first time, by whatever name that
    /// leads to it. Throws InputError at `blamed` when it is missing, not a regular file, not
    /// readable, larger than so many bytes, or written to while it is read. The result lives as
    /// long as this.
    [[nodiscard]] const std::string& text(const std::string& path, const SourcePosition& blamed,
                                          std::size_t most_bytes = largest_text_file);

    /// SHA-256 of the bytes that text() gave. Throws std::logic_error for a file never asked for.
    [[nodiscard]] const std::string& sha256(const std::string& path) const;

    /// The name by which a file was asked for first. Throws std::logic_error as sha256().
    [[nodiscard]] const std::string& first_name(const std::string& path) const;

  private:
    struct Read {
        std::string name;
        std::string text;
        std::string sha256;
    };
    [[nodiscard]] const Read& known(const std::string& path) const;
    std::map<std::string, Read> read_;         // by the name without "." and links on the way
    std::map<std::string, std::string> keys_;  // of the names asked for
};

}  // namespace earbudget::files
