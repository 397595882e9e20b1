#include <algorithm>
#include <array>
#include <map>
#include <string_view>

#include <fmt/format.h>

#include "files/toml_tree.hpp"
#include "files/written_values.hpp"
#include "starting/started_study.hpp"

namespace earbudget::starting {

namespace {

/// What is no figure: stated by whoever wrote the example, about the file itself.
constexpr std::array<std::string_view, 7> about_the_file = {"kind",  "format", "examples", "id",
                                                            "title", "how",    "who"};

/// The first of these characters outside of quotes; npos where there is none.
std::size_t find_outside_quotes(std::string_view line, char wanted) {
    bool quoted = false;
    for (std::size_t n = 0; n < line.size(); ++n) {
        if (quoted && line[n] == '\\') {
            ++n;
        } else if (line[n] == '"') {
            quoted = !quoted;
        } else if (!quoted && line[n] == wanted) {
            return n;
        }
    }
    return line.npos;
}

/// Goes through the lines of a file that this program wrote: one key or one head of a table each.
class MarkedLines {
  public:
    explicit MarkedLines(const files::OutputFile& file) : file_(file) {
        const std::string& text = file.content;
        const bool is_example =
            text.find(fmt::format("\n{} = true", files::key_of_examples)) != text.npos;
        // In these the examples are whole, not a value here and there.
        is_whole_ = is_example && (file.path == name_of_catalogue ||
                                   file.path.starts_with(std::string(name_of_cards) + "/"));
    }

    [[nodiscard]] std::vector<InventedValue> read() {
        unsigned number = 0;
        std::string_view rest = file_.content;
        while (!rest.empty()) {
            const std::size_t end = std::min(rest.find('\n'), rest.size());
            read_line(rest.substr(0, end), ++number);
            rest.remove_prefix(std::min(end + 1, rest.size()));
        }
        return std::move(found_);
    }

  private:
    void read_line(std::string_view line, unsigned number) {
        const std::size_t hash = find_outside_quotes(line, '#');
        const std::string_view remark = hash == line.npos ? "" : line.substr(hash);
        const std::string content(files::trimmed(line.substr(0, hash)));
        if (content.starts_with("[[")) return begin_of_many(content, remark);
        if (content.starts_with("[")) {
            table_ = with_numbers(content.substr(1, content.size() - 2));
            return;
        }
        const std::size_t equals = find_outside_quotes(content, '=');
        if (equals == content.npos) return;
        const std::string key(files::trimmed(content.substr(0, equals)));
        const bool figure = std::ranges::find(about_the_file, key) == about_the_file.end();
        const bool whole = (is_whole_ && !table_.empty()) || in_example_;
        if (!remark.ends_with(marks_invented) && !(whole && figure)) return;
        found_.push_back({file_.path, number, table_.empty() ? key : table_ + '.' + key,
                          std::string(files::trimmed(content.substr(equals + 1)))});
    }

    void begin_of_many(const std::string& content, std::string_view remark) {
        std::string name = content.substr(2, content.size() - 4);
        if (name.find('.') == name.npos) in_example_ = remark.ends_with("an example");
        name = with_numbers(name);
        table_ = fmt::format("{}[{}]", name, ++number_of_[name]);
    }

    /// "person.task" is of the last person: "person[2].task".
    std::string with_numbers(const std::string& name) const {
        const std::size_t dot = name.find('.');
        const auto number = number_of_.find(name.substr(0, dot));
        if (dot == name.npos || number == number_of_.end()) return name;
        return fmt::format("{}[{}]{}", number->first, number->second, name.substr(dot));
    }

    const files::OutputFile& file_;
    bool is_whole_ = false, in_example_ = false;
    std::string table_ = {};
    std::map<std::string, unsigned> number_of_ = {};
    std::vector<InventedValue> found_ = {};
};

}  // namespace

std::vector<InventedValue> invented_in(const std::vector<files::OutputFile>& files) {
    std::vector<InventedValue> all;
    for (const files::OutputFile& file : files) {
        auto found = MarkedLines(file).read();
        all.insert(all.end(), std::make_move_iterator(found.begin()),
                   std::make_move_iterator(found.end()));
    }
    return all;
}

}  // namespace earbudget::starting
