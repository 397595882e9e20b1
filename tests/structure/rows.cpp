#include "earbudget/computing/rows.hpp"

#include <doctest/doctest.h>

using namespace earbudget;

namespace {

enum class Colour { Red, Green };

constexpr auto colours = rows_of<NameRow<Colour>>({
    {Colour::Red, "red"},
    {Colour::Green, "green"},
});

}  // namespace

TEST_CASE("rows: each enumerator has its row, and each name its enumerator") {
    CHECK(colours[Colour::Green].name == "green");
    CHECK(colours.parse("red") == Colour::Red);
    CHECK_FALSE(colours.parse("blue"));
    CHECK(colours.find("Red") == nullptr);
    CHECK(listed(colours.names()) == "red, green");
    CHECK(colours.keys() == std::array{Colour::Red, Colour::Green});
}

TEST_CASE("rows: what the enumeration names is told from what it does not") {
    CHECK(is_enumerator<Colour::Green>());
    CHECK_FALSE(is_enumerator<static_cast<Colour>(2)>());
}
