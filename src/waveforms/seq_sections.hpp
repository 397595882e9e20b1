#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>

#include "waveforms/seq_parts.hpp"

namespace earbudget::waveforms {

/// Where each section of a file begins; they stand in any order.
struct Sections {
    std::map<std::string, LinePlace, std::less<>> behind;  ///< their heading lines, by name
    LinePlace signature;                                   ///< the heading's own place

    [[nodiscard]] bool has(std::string_view name) const { return behind.contains(name); }
};

/// Looks through a file for the headings of its sections. Throws InputError for one that stands
/// twice, for anything but remarks before the first, for a section behind the signature, and where
/// there is no [VERSION] or no [BLOCKS].
[[nodiscard]] Sections find_sections(const files::OpenFile& file);

/// Whether a line begins a section.
[[nodiscard]] bool is_heading(std::string_view line);
/// Whether nothing stands in a line, or a remark.
[[nodiscard]] bool says_nothing(std::string_view line);
[[nodiscard]] bool is_empty_line(std::string_view line);

/// Each line of a section that says something; none where the file has no such section.
void for_each_row(const files::OpenFile& file, const Sections& sections, std::string_view name,
                  const std::function<void(const TextLines&)>& row);

// The parts of read_seq_parts, in the order in which each needs those before.

[[nodiscard]] SeqVersion read_seq_version(const files::OpenFile& file, const Sections& sections);
void read_definitions(const files::OpenFile& file, const Sections& sections, SeqParts& parts);
void read_events(const files::OpenFile& file, const Sections& sections, SeqParts& parts);
void read_extensions(const files::OpenFile& file, const Sections& sections, SeqParts& parts);
/// Shapes, and what events are made of them. `asked` says where each shape is asked for first.
void read_shapes(const files::OpenFile& file, const Sections& sections, SeqParts& parts);
/// Holds the file against the signature that it states; notes where it is another.
void check_signature(const files::OpenFile& file, const Sections& sections, SeqParts& parts);

}  // namespace earbudget::waveforms
