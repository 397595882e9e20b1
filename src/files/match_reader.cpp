#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/study_files.hpp"
#include "files/table_reader.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

namespace {

MatchRow read_match_row(TableReader& match, const std::string& pattern) {
    MatchRow row{.pattern = pattern, .sequence = "", .stated_at = match.position_of(pattern)};
    if (match.is_table(pattern)) {
        TableReader run = *match.table(pattern);
        row.sequence = run.require_text("sequence").value;
        if (const auto duration = run.duration("duration")) row.duration = duration->value;
    } else if (const auto id = match.text(pattern)) {
        row.sequence = id->value;
    } else {
        throw AlreadyListed();
    }
    if (const auto why = why_no_id(row.sequence)) {
        match.report(pattern, fmt::format("is \"{}\"{}; accepted: the id of a card, {}",
                                          row.sequence, *why, accepted_ids));
    }
    return row;
}

}  // namespace

std::vector<MatchRow> read_match(TableReader& site) {
    std::vector<MatchRow> rows;
    auto match = site.table("match");
    if (!match) return rows;
    const auto patterns = match->keys_there();
    if (patterns.size() > most_values) {
        site.report("match", fmt::format("has {} patterns; accepted: at most {}", patterns.size(),
                                         most_values));
        return rows;
    }
    for (const std::string& pattern : patterns)
        site.errors().attempt([&] { rows.push_back(read_match_row(*match, pattern)); });
    return rows;
}

std::vector<MatchRow> read_match(const std::string& path, TextInputs& inputs) {
    return without_mistakes([&](ErrorList& errors) {
        const TomlTable document = read_toml(path, inputs, nullptr, "site");
        TableReader site = open_document(document, path, site_file, errors);
        return read_match(site);
    });
}

}  // namespace earbudget::files
