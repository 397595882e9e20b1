#pragma once

#include <memory>
#include <string>
#include <utility>

namespace earbudget {

/// The name of a file as it was given, stored once however much was stated in the file: every datum
/// carries one. It never changes, and compares as text; the one made of nothing is empty.
class FileName {
  public:
    FileName() = default;
    FileName(std::string name)  // NOLINT: a name is a text
        : text_(std::make_shared<const std::string>(std::move(name))) {}
    FileName(const char* name) : FileName(std::string(name)) {}  // NOLINT: as above

    [[nodiscard]] const std::string& text() const {
        static const std::string none;
        return text_ ? *text_ : none;
    }
    operator const std::string&() const { return text(); }  // NOLINT: it is read as one
    [[nodiscard]] bool empty() const { return text().empty(); }

    friend bool operator==(const FileName& a, const FileName& b) {
        return a.text_ == b.text_ || a.text() == b.text();
    }
    friend auto operator<=>(const FileName& a, const FileName& b) { return a.text() <=> b.text(); }

  private:
    std::shared_ptr<const std::string> text_;
};

/// Where something was stated: a file, and in text files the line and column, both from 1.
struct SourcePosition {
    FileName file;
    unsigned line = 1;
    unsigned column = 1;

    /// "FILE:LINE:COLUMN", as compilers write it.
    [[nodiscard]] std::string text() const {
        return file.text() + ':' + std::to_string(line) + ':' + std::to_string(column);
    }

    bool operator==(const SourcePosition&) const = default;
};

}  // namespace earbudget
