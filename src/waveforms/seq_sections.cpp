#include "waveforms/seq_sections.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "files/written_values.hpp"

namespace earbudget::waveforms {

namespace {

constexpr std::string_view blanks = " \t";

constexpr std::array<std::string_view, 11> known_sections = {
    "VERSION", "DEFINITIONS", "BLOCKS",     "RF",     "GRADIENTS", "TRAP",
    "ADC",     "DELAYS",      "EXTENSIONS", "SHAPES", "SIGNATURE"};

std::string name_of_heading(const TextLines& lines) {
    const std::string_view line = files::trimmed(lines.text(), blanks);
    if (!line.ends_with(']')) {
        throw InputError(lines.at(),
                         fmt::format("a heading without its end: \"{}\"; accepted: one such as "
                                     "[BLOCKS] alone on its line",
                                     shown(line)));
    }
    return std::string(line.substr(1, line.size() - 2));
}

void require_sections(const TextLines& lines, const Sections& sections) {
    if (!sections.has("VERSION")) {
        throw InputError({lines.file_name()},
                         "no [VERSION], so nobody knows by which rules it is read; accepted: a "
                         "section [VERSION] with major, minor and revision");
    }
    if (!sections.has("BLOCKS"))
        throw InputError({lines.file_name()}, "no [BLOCKS]; accepted: a sequence with blocks");
}

}  // namespace

bool is_heading(std::string_view line) { return files::trimmed(line, blanks).starts_with('['); }

bool is_empty_line(std::string_view line) { return files::trimmed(line, blanks).empty(); }

bool says_nothing(std::string_view line) {
    const std::string_view text = files::trimmed(line, blanks);
    return text.empty() || text.starts_with('#');
}

Sections find_sections(const files::OpenFile& file) {
    Sections sections;
    TextLines lines(file);
    std::string current;
    while (lines.next()) {
        const std::string_view text = lines.text();
        if (text.empty()) continue;
        if (text.front() != '[' && !is_heading(text)) {
            if (current.empty() && !says_nothing(text)) {
                throw InputError(lines.at(),
                                 fmt::format("\"{}\" in no section; accepted: remarks behind #, or "
                                             "a section such as [VERSION]",
                                             shown(files::trimmed(text, blanks))));
            }
            continue;
        }
        if (current == "SIGNATURE") {
            throw InputError(lines.at(),
                             "a section behind the signature, which that would not be "
                             "of; accepted: [SIGNATURE] as the last section");
        }
        const LinePlace heading = lines.place();
        current = name_of_heading(lines);
        const LinePlace behind{heading.offset + text.size(), heading.line};
        if (!sections.behind.emplace(current, behind).second) {
            throw InputError(lines.at(), fmt::format("[{}] a second time; accepted: each section "
                                                     "once",
                                                     shown(current)));
        }
        if (sections.behind.size() > 100)
            throw InputError(lines.at(), "more than 100 sections; accepted: at most that");
        if (current == "SIGNATURE") sections.signature = heading;
    }
    require_sections(lines, sections);
    return sections;
}

void for_each_row(const files::OpenFile& file, const Sections& sections, std::string_view name,
                  const std::function<void(const TextLines&)>& row) {
    const auto found = sections.behind.find(name);
    if (found == sections.behind.end()) return;
    TextLines lines(file, found->second);
    if (!lines.next()) return;  // the rest of the heading's line
    while (lines.next() && !is_heading(lines.text())) {
        if (!says_nothing(lines.text())) row(lines);
    }
}

SeqVersion read_seq_version(const files::OpenFile& file, const Sections& sections) {
    constexpr std::string_view accepted = "major, minor and revision, a whole number each";
    std::map<std::string, std::int64_t, std::less<>> parts;
    SourcePosition place{file.path(), sections.behind.at("VERSION").line};
    for_each_row(file, sections, "VERSION", [&](const TextLines& lines) {
        Words words(lines, accepted);
        const std::string part(words.word("a part of the version"));
        if (part != "major" && part != "minor" && part != "revision")
            words.refuse(fmt::format("\"{}\" in [VERSION]", shown(part)), accepted);
        parts[part] = words.whole(part, 0, 1000);
        place = words.place();
        words.end();
    });
    if (parts.size() != 3)
        throw InputError(place, fmt::format("the version is incomplete; accepted: {}", accepted));
    const std::string name =
        fmt::format("{}.{}.{}", parts["major"], parts["minor"], parts["revision"]);
    const auto* known = std::ranges::find(seq_versions, name, &SeqVersion::name);
    if (known == seq_versions.end()) {
        throw InputError(place, fmt::format("version {} of the format is not known, so it might "
                                            "mean something else; accepted: 1.2.0 to 1.5.3",
                                            name));
    }
    return *known;
}

SeqParts read_seq_parts(const files::OpenFile& file) {
    const Sections sections = find_sections(file);
    SeqParts parts;
    parts.version = read_seq_version(file, sections);
    parts.blocks = sections.behind.at("BLOCKS");
    for (const auto& [name, place] : sections.behind) {
        const bool is_gone = name == "DELAYS" && parts.version.states_durations;
        const bool is_early = (name == "EXTENSIONS" && !parts.version.has_extensions) ||
                              (name == "SIGNATURE" && !parts.version.states_durations);
        if (std::ranges::find(known_sections, name) != known_sections.end() && !is_gone &&
            (!is_early || name == "SIGNATURE"))
            continue;
        parts.notes.push_back({"unknown-section",
                               fmt::format("[{}] is no section of version {} of the format and was "
                                           "passed over",
                                           shown(name), parts.version.name),
                               {file.path(), place.line}});
    }
    read_definitions(file, sections, parts);
    read_events(file, sections, parts);
    if (parts.version.has_extensions) read_extensions(file, sections, parts);
    read_shapes(file, sections, parts);
    check_signature(file, sections, parts);
    return parts;
}

}  // namespace earbudget::waveforms
