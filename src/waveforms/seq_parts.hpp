#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "earbudget/excitation/waveform.hpp"
#include "waveforms/by_id.hpp"
#include "waveforms/seq_version.hpp"
#include "waveforms/text_lines.hpp"

namespace earbudget::waveforms {

// What a sequence's file holds besides its blocks. Own choices of how much that may be: far more
// than sequences have, and so little that all of it takes some 50 MB.

inline constexpr std::int64_t highest_id = 2'147'483'647;  ///< ids are 32-bit integers
inline constexpr std::size_t most_gradients = 200'000;
inline constexpr std::size_t most_other_events = 300'000;    ///< of each kind
inline constexpr std::size_t most_shape_values = 1'000'000;  ///< stored, of one shape
inline constexpr std::size_t most_kept_points = 1'000'000;   ///< of all shapes together
inline constexpr double most_played_points = 2e9;            ///< of all blocks, as they are played
inline constexpr double most_samples = 1e8;                  ///< of one shape
inline constexpr double most_microseconds = 86'400e6;        ///< of one event or pause: a day
inline constexpr double most_tesla_per_metre = 10.0;

/// The gyromagnetic ratio of protons by which amplitudes in Hz/m are gradients, in Hz/T: as the
/// format's software has it (memory; CODATA 2018 states 42.577 MHz/T, 0.0003 dB more).
inline constexpr double proton_Hz_per_T = 42.576e6;

/// Times within a sequence, as the format's binary files have them.
using Picoseconds = std::chrono::duration<std::int64_t, std::pico>;
[[nodiscard]] Picoseconds picoseconds_of(Seconds time);

/// A point of a gradient's course, whose amplitude is 1.
struct CoursePoint {
    Picoseconds at;
    double value;
};

/// How a gradient of a free shape runs: straight from point to point.
struct Course {
    std::vector<CoursePoint> points;
    Picoseconds lasts{0};
    bool ends_are_stated = false;  ///< by its points: explicit times from 0 on
};

/// Where an event names its shapes, for refusals.
struct StatedAt {
    unsigned line = 0;
    unsigned shape_column = 0, times_column = 0;
};

/// A gradient of one axis.
struct Gradient {
    Picoseconds delay{0};
    double amplitude = 0.0;                     ///< T/m
    Picoseconds rise{0}, flat{0}, fall{0};      ///< of a trapezoid
    std::int64_t shape = 0, times = 0;          ///< ids; 0: a trapezoid
    std::optional<std::array<double, 2>> ends;  ///< T/m, first and last, where they are stated
    const Course* course = nullptr;             ///< null: a trapezoid
    StatedAt at{};

    /// How many lines it is made of, at most.
    [[nodiscard]] std::size_t lines() const { return course ? course->points.size() + 1 : 3; }

    /// From the block's beginning.
    [[nodiscard]] Picoseconds ends_after() const {
        return delay + (course ? course->lasts : rise + flat + fall);
    }
};

/// Any other event, of which nothing but its end is of interest.
struct OtherEvent {
    Picoseconds delay{0};
    std::int64_t shape = 0, times = 0;  ///< of an RF pulse: ids of shapes
    Picoseconds lasts{0};
    StatedAt at{};

    [[nodiscard]] Picoseconds ends_after() const { return delay + lasts; }
};

/// The extensions that are understood, by the names by which files know them.
enum class ExtensionKind { Triggers, SetLabel, AddToLabel, SoftDelays, Rotations, Shims, Unknown };

/// Labels that matter here; each keeps its value until it is changed.
enum class Label { Once, NoRotation, Other };

struct Trigger {
    bool waits = false;  ///< for something from outside
    Picoseconds delay{0}, lasts{0};
};

struct LabelChange {
    Label label = Label::Other;
    std::int64_t value = 0;
};

struct ExtensionEntry {
    std::int64_t type = 0, object = 0, next = 0;
};

struct Extensions {
    ById<ExtensionEntry> entries;
    std::map<std::int64_t, ExtensionKind> kinds;  ///< by the file's own numbers
    ById<Trigger> triggers;
    ById<LabelChange> set, added;
    ById<std::array<double, 4>> rotations;  ///< quaternions
    ById<bool> soft_delays, shims;          ///< nothing but which there are
};

/// A sequence's file but for its blocks, which stay in the file.
struct SeqParts {
    SeqVersion version{};
    std::string title;
    Seconds gradient_raster{10e-6}, RF_raster{1e-6}, block_raster{10e-6};
    std::optional<Seconds> stated_duration;  ///< TotalDuration
    SourcePosition stated_at;
    ById<Gradient> gradients;
    ById<OtherEvent> RF, ADC, delays;
    std::map<std::pair<std::int64_t, std::int64_t>, Course> courses;  ///< by shape and times
    Extensions extensions;
    LinePlace blocks;  ///< behind the heading of their section
    std::vector<ReadingNote> notes;
};

/// Reads all but the blocks. Throws InputError at the place for whatever the format does not
/// permit, for a version that is not known, and for more than fits in the sizes above.
[[nodiscard]] SeqParts read_seq_parts(const files::OpenFile& file);

}  // namespace earbudget::waveforms
