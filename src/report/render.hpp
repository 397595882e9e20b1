#pragma once

#include <string>

#include "report/document.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

/// A document for a terminal, with a line break at its end.
[[nodiscard]] std::string as_text(const Document& document, const TextStyle& style);

/// A document as one HTML file that needs nothing else, on a screen and on paper.
[[nodiscard]] std::string as_page(const Document& document);

}  // namespace earbudget::report
