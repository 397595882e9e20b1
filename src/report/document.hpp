#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include <fmt/format.h>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/assessment.hpp"
#include "report/record.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

// A report as a value: what it says, in order, without line breaks, margins or markup. One builder
// an answer makes it from the result; text and page render it (as_text, as_page). Words may hold
// marks of how a part of them looks (text_style.hpp); what they say is the same in every medium.

/// Where a block stands.
enum class Medium {
    Every,
    Text,  ///< a terminal alone
    Page   ///< a page and paper alone
};

/// A sentence, or a name with a text, and what follows from it.
struct Item {
    std::string words;
    std::vector<Item> under = {};
};

struct List {
    std::vector<Item> items;
    bool bullets = false;  ///< in text; sentences that follow one another have none
};

/// The title of what follows in the same list of blocks.
struct Heading {
    std::string words;
};

struct Paragraph {
    std::string words;
    std::string look = {};  ///< a class of the style sheet
    std::string link = {};  ///< a place on the page to go to
};

/// An answer to be read first: its mark by the verdict, its words strong, then the rest.
struct Answer {
    Verdict verdict;
    std::string words;
    std::string rest = {};
    std::vector<std::string> under = {};  ///< what follows from it, a sentence each
};

/// All answers and what their marks stand for: within, close, cannot be decided, over; empty words
/// leave a mark out.
struct Answers {
    std::vector<Answer> all;
    std::array<std::string_view, 4> marks;
    bool loud = false;          ///< in text "over" stands in capitals
    bool loud_unknown = false;  ///< and so does what cannot be decided
};
inline constexpr std::array<std::string_view, 4> verdict_marks = {
    "within every limit", "close to a limit", "cannot be decided", "over a limit"};

/// A column of a table: what its numbers are.
struct Column {
    /// The title, with the unit behind it.
    [[nodiscard]] std::string whole_title() const {
        return unit.empty() ? title : fmt::format("{}, {}", title, unit);
    }

    std::string_view key;        ///< as in the JSON where it has the number
    std::string title;           ///< in words
    std::string_view unit = {};  ///< of all its numbers; empty where each cell has its own, or none
    int decimals = 1;
    bool number = true;  ///< to be read downwards: right-aligned
};

/// A number, which its column rounds, or words.
struct Cell {
    Cell(std::string cell_words) : words(std::move(cell_words)) {}
    Cell(const char* cell_words) : words(cell_words) {}
    Cell(double value) : number(value) {}
    /// A number, or words where there is none.
    Cell(const std::optional<double>& value, std::string_view without)
        : words(value ? std::string_view() : without), number(value) {}

    std::string words = {};
    std::optional<double> number = std::nullopt;
    std::string_view unit = {};  ///< of this number, where the column has none
    std::string link = {};       ///< a place on the page to go to; of the desk: "/another/page"
};

struct Row {
    std::vector<Cell> cells;  ///< one alone spans the table and heads what follows
    std::vector<std::string> notes = {};
    std::optional<Verdict> verdict = std::nullopt;  ///< by which it stands out
};

/// Things one after another, moved: a list in braces would copy each.
template <class Thing, class... Things>
[[nodiscard]] std::vector<Thing> list_of(Things&&... things) {
    std::vector<Thing> list;
    list.reserve(sizeof...(things));
    (list.push_back(Thing{std::forward<Things>(things)}), ...);
    return list;
}

struct Table {
    std::string name;  ///< unique in the document
    std::vector<Column> columns;
    std::vector<Row> rows = {};
    std::string notes_title = {};  ///< of a column for the notes; else they follow the last cell
    std::string look = {};         ///< a class of the style sheet
    bool across = false;           ///< in text the rows stand beside one another
};

/// Names and what they stand for.
struct Definitions {
    std::vector<std::pair<std::string, std::string>> entries;
    std::string look = "record terms";
};

/// One drawing: caption, drawing as SVG, and its numbers, which unfold.
struct Drawing {
    std::string caption;
    std::string svg;
    std::vector<Table> numbers = {};
    std::string remark = {};  ///< below the numbers
};

/// Drawings, made when a page shows them.
struct Figure {
    std::function<std::vector<Drawing>()> draw;
};

/// The working of somebody or something, as far as it is asked for, taken when it is rendered;
/// empty where none is asked for.
struct Steps {
    std::string of;
    std::function<Working()> working;
};

/// What must be read with every decision, once more short and near it; on pages.
struct ShortCautions {};

struct Block;

/// Parts that a wide page puts beside one another, by a class of the style sheet.
struct Beside {
    std::string look;
    std::vector<std::vector<Block>> parts;
};

/// What a page shows once it is unfolded.
struct Folded {
    std::string summary;
    std::vector<Block> blocks;
    bool printed = false;  ///< on paper it is unfolded in any case
    bool open = false;     ///< unfolded from the beginning
};

struct Block {
    std::variant<Paragraph, Heading, List, Answers, Table, Definitions, Figure, Steps,
                 ShortCautions, Beside, Folded>
        is;
    Medium medium = Medium::Every;
};

struct Section {
    std::string id;       ///< unique
    std::string heading;  ///< empty: the blocks alone, not in the contents
    std::vector<Block> blocks;
    std::string in_contents = {};                 ///< empty: the heading
    std::optional<Answer> answer = std::nullopt;  ///< beside the heading
    std::string look = "part";                    ///< a class of the style sheet
    bool of_one = false;            ///< one of several of a kind, whose sheets may get apart
    std::vector<Block> after = {};  ///< below it, not kept together with it on paper
    Medium medium = Medium::Every;
};

/// What stands above a report and on each sheet of paper.
struct Head {
    std::string command = {};      ///< that made it
    std::string kind = {};         ///< what it is, in plain words
    std::string title = {};        ///< of the plan or card: a user's text
    std::string file = {};         ///< that it was made from
    std::string date = {};         ///< YYYY-MM-DD
    std::string file_sha256 = {};  ///< empty where there are several
};

struct Document {
    Head head;
    std::vector<Section> sections = {};  ///< the first is the answer
    std::string foot = {};
    std::size_t columns = 96;  ///< of a line of text
    std::string first_line = {};  ///< to be read before everything else; empty for none
    /// Paper for the scanner room: in large letters where there is little, without contents.
    enum class Form { Report, Sheet, SmallSheet } form = Form::Report;
};

/// Sentences that there are: empty ones are left out.
[[nodiscard]] List sentences(const std::vector<std::string>& all, bool bullets = false);

/// One after another.
void append(std::vector<Block> more, std::vector<Block>& blocks);

/// The sections at the end of every report: what it was made of, and what must be read with it;
/// `more` cautions stand first.
void add_record_and_cautions(const Record& record, const RulesUsed& rules,
                             const std::vector<std::string>& more, Document& document);

/// What a cell says in its column: the number as the column rounds it, or the words; with its unit.
[[nodiscard]] std::string words_of(const Cell& cell, const Column& column);

/// A table for a terminal: columns as wide as what stands in them, titles broken to that, notes
/// below their row. One that is too wide goes on below itself with the columns that are left.
[[nodiscard]] std::string text_table(const Table& table, std::size_t indent);

/// A document for a terminal, with a line break at its end.
[[nodiscard]] std::string as_text(const Document& document, const TextStyle& style);

/// Blocks, and a document without what stands around it, as parts of a page that has the styles of
/// reports (html/style.hpp).
[[nodiscard]] std::string as_markup(const std::vector<Block>& blocks);
[[nodiscard]] std::string as_fragment(const Document& document);

/// A document as one HTML file that needs nothing else, on a screen and on paper.
[[nodiscard]] std::string as_page(const Document& document);

}  // namespace earbudget::report
