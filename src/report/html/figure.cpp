#include <fmt/format.h>

#include "report/html/charts.hpp"
#include "report/html/markup.hpp"

namespace earbudget::report::html {

std::string figure(std::string_view caption, std::string_view drawing, std::string_view table) {
    const std::string numbers =
        table.empty() ? std::string()
                      : fmt::format(
                            "<details>\n<summary>Numbers of this drawing</summary>\n{}"
                            "</details>\n",
                            table);
    return fmt::format("<figure>\n<figcaption>{}</figcaption>\n{}{}</figure>\n", text(caption),
                       drawing, numbers);
}

}  // namespace earbudget::report::html
