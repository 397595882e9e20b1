#include "tables/cells.hpp"

#include <algorithm>
#include <array>
#include <exception>
#include <new>
#include <stdexcept>

#include <csv.h>
#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "files/text_inputs.hpp"
#include "files/written_values.hpp"

namespace earbudget::tables {

namespace {

// Own choices: far more than a unit has.
constexpr std::size_t most_rows = 5'000;
constexpr std::size_t most_columns = 200;

/// One blank for each run of blanks, of any width, and line breaks.
std::string in_one_line(std::string_view cell) {
    constexpr std::array<std::string_view, 5> blanks = {" ", "\n", "\t", "\xC2\xA0",
                                                        "\xE2\x80\xAF"};
    std::string text;
    while (!cell.empty()) {
        const auto* blank = std::ranges::find_if(
            blanks, [cell](std::string_view one) { return cell.starts_with(one); });
        if (blank == blanks.end()) {
            text += cell.front();
            cell.remove_prefix(1);
        } else {
            if (!text.empty() && text.back() != ' ') text += ' ';
            cell.remove_prefix(blank->size());
        }
    }
    return std::string(files::trimmed(text));
}

/// What libcsv calls back; exceptions must not pass through C.
struct Reader {
    std::vector<std::vector<std::string>> rows = {{}};
    std::exception_ptr thrown = nullptr;
    const std::string& path;

    template <class Do>
    void guarded(Do&& what) noexcept {
        if (thrown) return;
        try {
            what();
        } catch (...) {
            thrown = std::current_exception();
        }
    }

    void add_cell(std::string_view cell) {
        if (rows.back().size() == most_columns) {
            throw InputError(
                {path, static_cast<unsigned>(rows.size())},
                fmt::format("more than {} columns; accepted: at most that", most_columns));
        }
        rows.back().push_back(in_one_line(cell));
    }

    void end_row() {
        if (rows.size() == most_rows) {
            throw InputError({path, static_cast<unsigned>(rows.size())},
                             fmt::format("more than {} rows; accepted: at most that", most_rows));
        }
        rows.emplace_back();
    }

    static void on_cell(void* data, std::size_t length, void* self) {
        auto* reader = static_cast<Reader*>(self);
        reader->guarded([&] {
            reader->add_cell(data ? std::string_view(static_cast<const char*>(data), length)
                                  : std::string_view());
        });
    }
    static void on_row(int /*end*/, void* self) {
        auto* reader = static_cast<Reader*>(self);
        reader->guarded([&] { reader->end_row(); });
    }
};

struct Parser {
    explicit Parser(char separator) {
        if (csv_init(&csv, CSV_STRICT | CSV_STRICT_FINI | CSV_REPALL_NL) != 0)
            throw std::bad_alloc();
        csv_set_delim(&csv, static_cast<unsigned char>(separator));
    }
    Parser(const Parser&) = delete;
    Parser& operator=(const Parser&) = delete;
    ~Parser() { csv_free(&csv); }

    csv_parser csv = {};
};

/// The line that a text begins with, "sep=;", as some spreadsheets write and read it; 0 for none.
char stated_separator(std::string_view text) {
    const std::string_view line = text.substr(0, text.find('\n'));
    const bool quoted = line.size() == 7 && line.front() == '"' && line.back() == '"';
    const std::string_view words = quoted ? line.substr(1, 5) : line;
    return words.size() == 5 && files::in_small_letters(words).starts_with("sep=") ? words[4]
                                                                                   : '\0';
}

char separator_of(std::string_view text) {
    std::array<bool, 3> found{};
    constexpr std::string_view separators = "\t;,";
    bool quoted = false;
    for (const char c : text) {
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if (c == '\n' && std::ranges::count(found, true) > 0) break;
        if (const std::size_t n = separators.find(c); n != separators.npos) found.at(n) = true;
    }
    for (std::size_t n = 0; n < found.size(); ++n)
        if (found.at(n)) return separators[n];
    return ',';
}

void refuse_unseen(const Cells& cells, const std::string& path, files::ErrorList& errors) {
    for (unsigned row = 0; row < cells.rows.size(); ++row) {
        for (unsigned column = 0; column < cells.rows[row].size(); ++column) {
            const std::string& cell = cells.rows[row][column];
            if (cell.size() > files::longest_text) {
                errors.add({{path, row + 1, column + 1},
                            fmt::format("a cell of {} bytes; accepted: at most {}", cell.size(),
                                        files::longest_text)});
                continue;
            }
            const std::string seen = visible_text(cell);
            if (seen == cell) continue;
            errors.add({{path, row + 1, column + 1},
                        fmt::format("\"{}\" has a character that cannot be seen; accepted: text "
                                    "without such",
                                    seen)});
        }
    }
}

}  // namespace

std::string_view Cells::at(std::size_t row, std::size_t column) const {
    const auto& cells = rows.at(row);
    return column < cells.size() ? std::string_view(cells[column]) : std::string_view();
}

Cells cells_of(std::string_view text, const std::string& path, files::ErrorList& errors) {
    const char stated = stated_separator(text);
    Cells cells{.rows = {}, .separator = stated != '\0' ? stated : separator_of(text)};
    Parser parser(cells.separator);
    Reader reader{.path = path};
    // Spreadsheets do not show it, nor count it.
    if (stated != '\0') text.remove_prefix(std::min(text.find('\n'), text.size() - 1) + 1);
    const std::size_t read =
        csv_parse(&parser.csv, text.data(), text.size(), Reader::on_cell, Reader::on_row, &reader);
    const bool ended =
        read == text.size() && csv_fini(&parser.csv, Reader::on_cell, Reader::on_row, &reader) == 0;
    if (reader.thrown) std::rethrow_exception(reader.thrown);
    if (!ended) {
        if (csv_error(&parser.csv) != CSV_EPARSE && read != text.size()) throw std::bad_alloc();
        throw InputError({path, static_cast<unsigned>(reader.rows.size()),
                          static_cast<unsigned>(reader.rows.back().size() + 1)},
                         "a quotation mark stands within a cell, or one that begins a cell is not "
                         "ended; accepted: cells as spreadsheets save them, \"5\"\" plug\" for 5\" "
                         "plug");
    }
    cells.rows = std::move(reader.rows);
    refuse_unseen(cells, path, errors);
    return cells;
}

bool is_blank_cell(std::string_view cell) {
    constexpr std::array<std::string_view, 6> signs = {"", "-", "–", "—", "n/a", "na"};
    return std::ranges::count(signs, files::in_small_letters(cell)) > 0;
}

}  // namespace earbudget::tables
