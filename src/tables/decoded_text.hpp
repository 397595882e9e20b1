#pragma once

#include <string>
#include <string_view>

namespace earbudget::tables {

/// A text as spreadsheets save it, in UTF-8 and with line feeds alone.
struct DecodedText {
    std::string text;
    std::string note = {};  ///< how its bytes were taken, where that is not certain
};

/// The characters of a file: UTF-8 with or without byte order mark, UTF-16 with one, in either
/// order of bytes; else Windows-1252, which `note` says. Throws InputError at `path` for what is no
/// text: a spreadsheet's own format, zero bytes, half a character.
[[nodiscard]] DecodedText decoded_text(std::string_view bytes, const std::string& path);

}  // namespace earbudget::tables
