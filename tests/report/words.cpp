// Every phrase has words that use all that it is listed with; what hangs on a number follows it.
#include "report/words/words.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/advice/phrases.hpp"
#include "earbudget/choice/phrases.hpp"
#include "earbudget/day/ear_band.hpp"
#include "earbudget/day/warning.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/row_peak.hpp"
#include "earbudget/review/phrases.hpp"

using namespace earbudget;

namespace {

/// Some argument of a kind; another for each n.
Argument example(char kind, unsigned n) {
    const std::string word = "word" + std::to_string(n);
    const Message message = as_it_stands(word);
    switch (kind) {
        case 's':
            return Argument::of(word);
        case 'n':
            return Argument::of(n == 0 ? 0.0 : n == 1 ? 1.0 : n == 2 ? 2.0 : 20.0 + n);
        case 't':
            return Argument::of(Seconds(60.0 * n));
        case 'w':
            return Argument::of(SourcePosition{{word}, 1, 2});
        case 'l':
            return Argument::of(std::vector<std::string>{word, "other"});
        case 'm':
            return Argument::of(message);
        case 'p':
            return Argument::of(std::vector<Message>{message, message});
        default:
            FAIL("no such kind of argument: " << kind);
            return {};
    }
}

template <class Phrase>
void check_all() {
    for (std::size_t n = 0; n < number_of(Phrase{}); ++n) {
        const auto phrase = static_cast<Phrase>(n);
        const PhraseRow& row = row_of(phrase);
        CAPTURE(row.name);
        Message message{phrase, {}};
        for (const char kind : row.arguments)
            message.arguments.push_back(example(kind, 1));
        const std::string text = text_of(message);
        CHECK(!text.empty());
        CHECK(text.find_first_of("{}|") == std::string::npos);
        CHECK(text.find("  ") == std::string::npos);
        for (std::size_t place = 0; place < row.arguments.size(); ++place) {
            CAPTURE(place);
            bool appears = false;
            for (const unsigned other : {0U, 2U, 3U}) {
                Message changed = message;
                changed.arguments[place] = example(row.arguments[place], other);
                appears = appears || text_of(changed) != text;
            }
            CHECK(appears);
        }
    }
}

}  // namespace

TEST_CASE("words: every phrase of every list says all its arguments") {
    check_all<WarningPhrase>();
    check_all<RemarkPhrase>();
    check_all<ChoicePhrase>();
    check_all<AdvicePhrase>();
    check_all<ReviewPhrase>();
    check_all<CheckPhrase>();
    check_all<WorkPhrase>();
}

TEST_CASE("words: what is said stands by itself, with its unit and the names it goes by") {
    using List = std::vector<std::string>;
    const std::vector<std::pair<Message, std::string>> table = {
        {by_EN_458(LevelA(40.0), true, false), "more than is useful by EN 458"},
        {say<AdvicePhrase::NoReductionPartOfTheTime>(95.0),
         "No reduction would keep every exposure limit while protection is worn 95 % of the time."},
        {say<AdvicePhrase::BetterLeftOut>(false, 5.0),
         "So little of them keeps the probability of being over at 5 % or less that they are "
         "better left out."},
        {say<AdvicePhrase::NotKeptWithout>(true, 5.0),
         "Even without it the probability of being over at 5 % or less is not kept."},
        {say<RemarkPhrase::WithoutThat>(0.0, true), "without that sound it is 0.0 %"},
        {say<RemarkPhrase::WithoutThat>(71.0, false), "without that sound it is 71.0 dB(A)"},
        {say<RemarkPhrase::AsOutside>(WhyOutside::TwoWorn),
         "as outside where two are worn together, of which the method says nothing"},
        {say<RemarkPhrase::HighestKnown>(101.8, true), "highest known 101.8 dB(C)"},
        {say<RemarkPhrase::HighestKnown>(101.8, false), "highest known 101.8 dB"},
        {say<RemarkPhrase::NoPeakStated>(List{"\"epi\"", "other noise"}),
         "no peak is stated for \"epi\", other noise"},
        {say<ChoicePhrase::WithoutTaskNumber>(true, 2U), "without other noise, task 2"},
        {say<CheckPhrase::PeakLevel>(124.1, true), "124.1 dB(C)"},
        {say<CheckPhrase::NoLCeq>(false),
         "no LCeq and no octave bands to sum: methods slc80 and snr cannot be used, hml only as a "
         "check from LA alone"},
        {say<ReviewPhrase::MeasureLevelAgain>(true, Message(), 5.0, Seconds(300.0)),
         "the level is measured again with less uncertainty, or protection is worn: to keep the "
         "probability of being over at 5 % or less it is permitted for 5 min a day with nothing "
         "worn"},
        {say<ReviewPhrase::MeasureLevelAgain>(false, as_it_stands("plug"), 5.0, Seconds(300.0)),
         "the level is measured again with less uncertainty, or a larger reduction is worn than "
         "plug gives: to keep the probability of being over at 5 % or less it is permitted for 5 "
         "min a day"}};
    for (const auto& [message, text] : table)
        CHECK(text_of(message) == text);
}

TEST_CASE("words: codes of warnings and notes on a catalogue are there and have no blank") {
    std::size_t with_code = 0;
    const auto check = [&](const PhraseRow& row) {
        with_code += row.code.empty() ? 0 : 1;
        CHECK(row.code.find(' ') == std::string_view::npos);
    };
    for (const PhraseRow& row : rows_of_WarningPhrase)
        check(row);
    CHECK(with_code == 52);
    for (const PhraseRow& row : rows_of_ChoicePhrase)
        check(row);
    CHECK(with_code == 52 + 20);
}

TEST_CASE("words: numbers in their format, one and several, lists, nothing") {
    CHECK(text_of(say<AdvicePhrase::FewerSessions>(1U, 3U)) ==
          "At most 1 session a day instead of 3.");
    CHECK(text_of(say<AdvicePhrase::FewerSessions>(2U, 3U)) ==
          "At most 2 sessions a day instead of 3.");
    CHECK(text_of(say<WarningPhrase::ReductionBelowZero>("epi", LevelDifference(-1.25))) ==
          "the reduction in \"epi\" comes to -1.2 dB and counts as 0 dB");
    CHECK(text_of(say<WarningPhrase::QuotedSet>(std::vector<std::string>{"plug", "muff"})) ==
          "\"plug\" under \"muff\"");
    CHECK(text_of(say<RemarkPhrase::OverAWeek>(2.5)) == "over a week with 2.5 such days");
    CHECK(text_of(say<AdvicePhrase::ByBestEstimate>(Seconds(75.0))) ==
          "By the best estimate it could last 1 min 15 s.");
    CHECK(text_of(Message()).empty());
    CHECK(text_of(as_it_stands("{a text} of a user | as it is")) ==
          "{a text} of a user | as it is");
    const std::vector<Message> two = {say<RemarkPhrase::OverAWeek>(1),
                                      say<RemarkPhrase::CForUnweighted>()};
    CHECK(text_of(two, "; ").rfind("over a week with 1 such day; LCpeak stands", 0) == 0);
}

TEST_CASE("messages: equal where phrase and arguments are") {
    const Message one = say<ReviewPhrase::NoTimeBy>("a");
    CHECK(one == say<ReviewPhrase::NoTimeBy>("a"));
    CHECK(one != say<ReviewPhrase::NoTimeBy>("b"));
    CHECK(one != say<ReviewPhrase::AllDay>());
    CHECK(say<AdvicePhrase::ShutDoor>("a") != say<AdvicePhrase::LeaveOut>(as_it_stands("a")));
    CHECK((one < say<ReviewPhrase::NoTimeBy>("b")) != (say<ReviewPhrase::NoTimeBy>("b") < one));
    CHECK(one.is(ReviewPhrase::NoTimeBy));
    CHECK(!one.is(ReviewPhrase::AllDay));
    CHECK(!one.is(WarningPhrase::NoBackground));
}
