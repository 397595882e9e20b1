#include <algorithm>
#include <filesystem>
#include <map>
#include <set>

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/measure_inputs.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/error_list.hpp"
#include "files/ids.hpp"
#include "files/output.hpp"
#include "files/text_inputs.hpp"
#include "files/written_values.hpp"
#include "tables/cell_values.hpp"
#include "tables/cells.hpp"
#include "tables/decoded_text.hpp"

namespace earbudget::cli {

namespace {

/// What a row of the table says of a recording.
struct RecordingRow {
    std::string id, title;
    SourcePosition stated_at;
};

/// Where its columns are.
struct RecordingColumns {
    std::optional<std::size_t> recording, id, title;
};

SourcePosition cell_position(const std::string& path, std::size_t row, std::size_t column) {
    return {path, static_cast<unsigned>(row + 1), static_cast<unsigned>(column + 1)};
}

std::string file_name_of(const std::string& path) {
    return std::filesystem::path(path).filename().string();
}

RecordingColumns columns_in(const tables::Cells& cells, const std::string& path,
                            files::ErrorList& errors) {
    RecordingColumns columns;
    const std::size_t width = cells.rows.empty() ? 0 : cells.rows.front().size();
    for (std::size_t n = 0; n < width; ++n) {
        const std::string heading = files::in_small_letters(cells.at(0, n));
        std::optional<std::size_t>* column =
            heading == "recording" || heading == "file" ? &columns.recording
            : heading == "id"                           ? &columns.id
            : heading == "title" || heading == "name"   ? &columns.title
                                                        : nullptr;
        if (column && !*column) {
            *column = n;
        } else if (!tables::is_blank_cell(heading)) {
            errors.add({cell_position(path, 0, n),
                        fmt::format("the heading \"{}\" {}; accepted: recording, id, title",
                                    cells.at(0, n), column ? "stands twice" : "is not known")});
        }
    }
    if (!columns.recording)
        errors.add({cell_position(path, 0, 0),
                    "there is no heading recording; accepted: recording, id, title"});
    return columns;
}

/// The recording that a row names, as it was given or by the file's name alone.
const std::string* recording_named(std::string_view name,
                                   const std::vector<std::string>& recordings) {
    const auto found = std::ranges::find_if(recordings, [&](const std::string& path) {
        return path == name || file_name_of(path) == name;
    });
    return found == recordings.end() ? nullptr : &*found;
}

std::map<std::string, RecordingRow> rows_in(const std::string& path,
                                            const std::vector<std::string>& recordings,
                                            files::TextInputs& inputs, files::ErrorList& errors) {
    std::map<std::string, RecordingRow> rows;
    const auto decoded = tables::decoded_text(inputs.text(path, {path}), path);
    const tables::Cells cells = tables::cells_of(decoded.text, path, errors);
    const RecordingColumns columns = columns_in(cells, path, errors);
    if (!columns.recording) return rows;
    const auto text = [&](std::size_t row, std::optional<std::size_t> column) {
        const std::string_view cell = column ? cells.at(row, *column) : std::string_view();
        return std::string(tables::is_blank_cell(cell) ? "" : cell);
    };
    for (std::size_t row = 1; row < cells.rows.size(); ++row) {
        const std::string name = text(row, columns.recording);
        RecordingRow one{text(row, columns.id), text(row, columns.title),
                         cell_position(path, row, *columns.recording)};
        if (name.empty() && one.id.empty() && one.title.empty()) continue;
        const std::string* recording = recording_named(name, recordings);
        if (!recording) {
            errors.add(
                {one.stated_at, fmt::format("\"{}\" is no recording that was given; accepted: {}",
                                            name, fmt::join(recordings, ", "))});
        } else if (!rows.emplace(*recording, std::move(one)).second) {
            errors.add({cell_position(path, row, *columns.recording),
                        fmt::format("\"{}\" stands twice; accepted: each recording once", name)});
        }
    }
    return rows;
}

/// Where the card's id comes from, to be blamed for it.
void check_id(const MeasureOptions& card, const SourcePosition& blamed, files::ErrorList& errors) {
    if (const auto why = files::why_no_id(card.card_id)) {
        errors.add({blamed, fmt::format("\"{}\"{} is no id for a card; accepted: {}", card.card_id,
                                        *why, files::accepted_ids)});
    }
}

MeasureOptions options_of_card(const MeasureOptions& options, const std::string& recording,
                               const RecordingRow* row) {
    MeasureOptions card = options;
    card.card_id = row && !row->id.empty() ? row->id
                   : row && !row->title.empty()
                       ? tables::id_from_title(row->title)
                       : visible_text(std::filesystem::path(recording).stem().string());
    card.card_title = row && !row->title.empty() ? row->title : card.card_id;
    return card;
}

}  // namespace

FolderOfCards::FolderOfCards(const std::optional<std::string>& folder) {
    constexpr mode_t for_everybody = 0777;  // less what the user's mask takes
    std::error_code ignored;
    if (!folder || std::filesystem::exists(*folder, ignored)) return;
    if (::mkdir(folder->c_str(), for_everybody) != 0) files::refuse_place(*folder);
    made_ = *folder;
}

FolderOfCards::~FolderOfCards() {
    if (!made_.empty()) ::rmdir(made_.c_str());
}

std::vector<MeasureOptions> options_of_cards(const MeasureOptions& options, FilesRead& read) {
    std::vector<MeasureOptions> cards;
    if (!options.cards) return cards;
    files::ErrorList errors;
    files::TextInputs inputs;
    std::map<std::string, RecordingRow> rows;
    if (options.table) {
        errors.attempt([&] { rows = rows_in(*options.table, options.recordings, inputs, errors); });
        errors.throw_if_any();
        read.push_back({*options.table, inputs.sha256(*options.table)});
    }
    std::map<std::string, std::string> recording_of_id;
    std::set<std::string> taken;
    for (const std::string& recording : options.recordings) {
        const auto row = rows.find(recording);
        const bool is_in_table = row != rows.end();
        MeasureOptions card =
            options_of_card(options, recording, is_in_table ? &row->second : nullptr);
        const SourcePosition blamed =
            is_in_table ? row->second.stated_at : SourcePosition{recording};
        check_id(card, blamed, errors);
        const auto [known, is_new] = recording_of_id.emplace(card.card_id, recording);
        if (!is_new) {
            errors.add(
                {blamed, fmt::format("the id \"{}\" is also that of \"{}\"; accepted: each its "
                                     "own, by --table FILE with recording, id, title",
                                     card.card_id, known->second)});
        }
        card.card =
            (std::filesystem::path(*options.cards) / files::file_name_of_card(card.card_id, taken))
                .string();
        cards.push_back(std::move(card));
    }
    errors.throw_if_any();
    return cards;
}

}  // namespace earbudget::cli
