#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "editing/edit.hpp"
#include "editing/statements.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::editing {

/// How a table is written: as the document itself, below a header, between braces, as the first
/// parts of dotted keys, or by nothing but the headers of tables in it.
enum class Form { Root, Header, Inline, Dotted, Implied };

/// A table and where it stands.
struct FoundTable {
    const files::TomlTable* table;
    Form form;
    std::size_t at;  ///< its first character; 0 of the root
};

/// A header with the keys below it, to before the next one.
struct HeaderSection {
    std::size_t header;  ///< of the statements
    std::size_t end;     ///< the statement after its last
    Path table;
};

/// A text, its values, and where each stands.
class Outline {
  public:
    /// Throws InputError for a text that is no TOML.
    Outline(std::string text, const FileName& file);

    [[nodiscard]] const std::string& text() const { return text_; }
    [[nodiscard]] const files::TomlTable& tree() const { return tree_; }
    [[nodiscard]] const std::vector<Statement>& statements() const { return statements_; }
    [[nodiscard]] const std::vector<HeaderSection>& sections() const { return sections_; }
    /// "\n" or "\r\n", as the first line ends.
    [[nodiscard]] std::string line_break() const;

    /// The byte at which something stands.
    [[nodiscard]] std::size_t offset_of(const SourcePosition& position) const;
    /// The statement that a byte is of.
    [[nodiscard]] const Statement& statement_at(std::size_t offset) const;
    /// The table at a path as far as there is one, and how many of its steps lead there.
    struct Reached {
        FoundTable found;
        std::size_t steps;
    };
    [[nodiscard]] Reached reach(const Path& path) const;
    /// The table at a path. Throws InputError where there is none.
    [[nodiscard]] FoundTable find(const Path& path) const;
    /// The value of a key in it; null where there is none.
    [[nodiscard]] const files::TomlValue* value(const FoundTable& in, std::string_view key) const;
    /// How many entries an array of tables with headers has; 0 where there is none. Throws
    /// InputError for any other value.
    [[nodiscard]] std::size_t entries(const Path& array) const;

    /// The section of a table with a header; null of any other.
    [[nodiscard]] const HeaderSection* section_of(const Path& table) const;
    /// The sections of a table and of all in it, each run of neighbours as one part of the text:
    /// with the comments right above, to the end of the last line.
    [[nodiscard]] std::vector<Span> parts_of(const Path& table) const;
    /// The same of a table that has one such part. Throws InputError where others lie between.
    [[nodiscard]] Span part_of(const Path& table) const;

    /// The innermost table with a header, or the document, that a position is in, and the key
    /// there, as far as it is written; the key is empty at a header.
    [[nodiscard]] std::pair<Path, std::string> place_of(const SourcePosition& position) const;

    [[noreturn]] void refuse(std::size_t at, const std::string& why) const;

  private:
    void add_headers(const files::TomlTable& table, const Path& path);
    [[nodiscard]] bool is_header(const files::TomlValue& value) const;

    std::string text_;
    FileName file_;
    files::TomlTable tree_;
    std::vector<std::size_t> lines_;  // where each begins
    std::vector<Statement> statements_;
    std::vector<HeaderSection> sections_;
};

/// As it is written in a header, or as the key of a value.
[[nodiscard]] std::string written_key(std::string_view key);
/// The dotted name of a table: that of its header.
[[nodiscard]] std::string written_name(const Path& table);

}  // namespace earbudget::editing
