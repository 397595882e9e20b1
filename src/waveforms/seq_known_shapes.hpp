#pragma once

#include <cstdint>
#include <map>

#include "waveforms/seq_sections.hpp"
#include "waveforms/seq_shapes.hpp"

namespace earbudget::waveforms {

/// Where a shape is asked for first, and what of it.
struct AskedShape {
    unsigned line, column;
    bool as_course = false;
};

/// The shapes of a file as far as they are asked for.
struct KnownShapes {
    std::map<std::int64_t, AskedShape> asked = {};
    std::map<std::int64_t, Shape> shapes = {};
    std::size_t points = 0;

    void ask(std::int64_t id, unsigned line, unsigned column, bool as_course) {
        if (id <= 0) return;
        AskedShape& one = asked.try_emplace(id, AskedShape{line, column}).first->second;
        one.as_course |= as_course;
    }
};

/// Reads the shapes that are asked for. Throws InputError for whatever is wrong in the section, and
/// where a shape that is asked for is not there.
void read_shape_section(const files::OpenFile& file, const Sections& sections,
                        const SeqVersion& version, KnownShapes& known);

}  // namespace earbudget::waveforms
