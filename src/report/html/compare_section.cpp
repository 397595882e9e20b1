#include "report/html/compare_section.hpp"

#include "report/html/markup.hpp"

namespace earbudget::report::html {

std::string compare_section(const Earlier& earlier) {
    const Compared compared = compare_sentences(earlier.comparison, earlier.file, TextStyle{});
    std::string people;
    for (const PersonCompared& person : compared.people)
        people += element("li", text(sentence_of(person, TextStyle{})) + list_of(person.criteria));
    return section("compared", 2, "What changed",
                   element("p", text(compared.heading)) + list_of(compared.session) +
                       element("ul", "plain", "\n" + people));
}

}  // namespace earbudget::report::html
