// Tables that lack something: every marked line must not compile, nothing else may fail. Without
// MISTAKES only what is right is left, and that must compile.
#include "earbudget/computing/rows.hpp"

using namespace earbudget;

enum class Colour { Red, Green, Blue };
using Row = NameRow<Colour>;

constexpr Row red{Colour::Red, "red"};
constexpr Row green{Colour::Green, "green"};
constexpr Row blue{Colour::Blue, "blue"};

constexpr auto whole = rows_of<Row>({red, green, blue});
static_assert(whole[Colour::Blue].name == "blue");

#ifdef MISTAKES
constexpr auto forgotten = rows_of<Row>({red, green});      // MUST FAIL: blue has no row
constexpr auto swapped = rows_of<Row>({red, blue, green});  // MUST FAIL: not in order
constexpr auto twice = rows_of<Row>({red, green, green});   // MUST FAIL: blue has no row
constexpr auto nameless = rows_of<Row>({red, green, {Colour::Blue, ""}});    // MUST FAIL: no name
constexpr auto alike = rows_of<Row>({red, green, {Colour::Blue, "green"}});  // MUST FAIL: two of it
#endif
