// Phrases and words that lack something: every marked line must not compile, nothing else may fail.
// Without MISTAKES only what is right is left, and that must compile.
#include "earbudget/review/phrases.hpp"

#include "report/words/words.hpp"

using namespace earbudget;

const Message right = say<ReviewPhrase::UpTo>(Seconds(60.0), "niosh-rel");

#ifdef MISTAKES
const Message few = say<ReviewPhrase::UpTo>(Seconds(60.0));   // MUST FAIL: one is missing
const Message many = say<ReviewPhrase::AllDay>("niosh-rel");  // MUST FAIL: one too many
const Message swapped =
    say<ReviewPhrase::UpTo>("niosh-rel", Seconds());      // MUST FAIL: the other way
const Message number = say<ReviewPhrase::NoTimeBy>(1.0);  // MUST FAIL: no name
#endif

#define COLOURS(row) row(Red, "") row(Green, "n")
EARBUDGET_PHRASES(Colour, COLOURS)

constexpr report::Words<Colour> red{Colour::Red, "red"};
constexpr report::Words<Colour> green{Colour::Green, "green {}"};
constexpr report::Words<Colour> mute{Colour::Red, ""};

static_assert(report::are_complete(std::array{red, green}));

#ifdef MISTAKES
static_assert(report::are_complete(std::array{red}));          // MUST FAIL: green has no words
static_assert(report::are_complete(std::array{green, red}));   // MUST FAIL: not in order
static_assert(report::are_complete(std::array{mute, green}));  // MUST FAIL: red has no words
#endif
