#include <cmath>

#include <fmt/format.h>

#include "waveforms/seq_sections.hpp"

namespace earbudget::waveforms {

namespace {

constexpr double most_Hz_per_metre = most_tesla_per_metre * proton_Hz_per_T;

Picoseconds microseconds(Words& words, std::string_view what) {
    return picoseconds_of(Seconds(words.number(what, 0.0, most_microseconds) * 1e-6));
}

double gradient_of(Words& words, std::string_view what) {
    return words.number(what, -most_Hz_per_metre, most_Hz_per_metre) / proton_Hz_per_T;
}

std::int64_t id_of(Words& words) { return words.whole("the id", 1, highest_id); }

/// The id of a shape, and in which column it stands.
std::int64_t shape_id(Words& words, std::string_view what, std::int64_t lowest, unsigned& column) {
    const std::int64_t id = words.whole(what, lowest, highest_id);
    column = words.place().column;
    return id;
}

void read_trapezoid(const TextLines& lines, SeqParts& parts) {
    Words words(lines, "id, amplitude in Hz/m, rise, flat, fall and delay in µs");
    const std::int64_t id = id_of(words);
    Gradient gradient;
    gradient.amplitude = gradient_of(words, "the amplitude");
    gradient.rise = microseconds(words, "the rise time");
    gradient.flat = microseconds(words, "the flat time");
    gradient.fall = microseconds(words, "the fall time");
    gradient.delay = microseconds(words, "the delay");
    words.end();
    gradient.at.line = lines.place().line;
    parts.gradients.add(id, gradient);
}

void read_shaped(const TextLines& lines, SeqParts& parts) {
    const SeqVersion& version = parts.version;
    Words words(lines,
                version.states_ends
                    ? "id, amplitude, first and last value in Hz/m, shape, time shape, delay "
                      "in µs"
                : version.states_durations ? "id, amplitude in Hz/m, shape, time shape, delay in µs"
                                           : "id, amplitude in Hz/m, shape, delay in µs");
    const std::int64_t id = id_of(words);
    Gradient gradient;
    gradient.at.line = lines.place().line;
    gradient.amplitude = gradient_of(words, "the amplitude");
    if (version.states_ends) {
        const double first = gradient_of(words, "the first value");
        gradient.ends = {first, gradient_of(words, "the last value")};
    }
    gradient.shape = shape_id(words, "the shape", 1, gradient.at.shape_column);
    if (version.states_durations)
        gradient.times = shape_id(words, "the time shape", version.states_ends ? -1 : 0,
                                  gradient.at.times_column);
    gradient.delay = microseconds(words, "the delay");
    words.end();
    parts.gradients.add(id, gradient);
}

void read_RF(const TextLines& lines, SeqParts& parts) {
    const SeqVersion& version = parts.version;
    Words words(lines, version.states_ends
                           ? "id, amplitude, magnitude, phase and time shape, centre, delay, two "
                             "offsets in ppm, two offsets, use"
                       : version.states_durations
                           ? "id, amplitude, magnitude, phase and time shape, delay, two offsets"
                           : "id, amplitude, magnitude and phase shape, delay, two offsets");
    const std::int64_t id = id_of(words);
    OtherEvent pulse;
    pulse.at.line = lines.place().line;
    (void)words.number("the amplitude", -1e12, 1e12);
    pulse.shape = shape_id(words, "the magnitude's shape", 1, pulse.at.shape_column);
    (void)words.whole("the phase's shape", 0, highest_id);
    if (version.states_durations)
        pulse.times = shape_id(words, "the time shape", -1, pulse.at.times_column);
    if (version.states_ends) (void)words.number("the centre", 0.0, most_microseconds);
    pulse.delay = microseconds(words, "the delay");
    for (int offset = version.states_ends ? 0 : 2; offset < 4; ++offset)
        (void)words.number("an offset", -1e12, 1e12);
    if (version.states_ends) (void)words.word("the use");
    words.end();
    parts.RF.add(id, pulse);
}

void read_ADC(const TextLines& lines, SeqParts& parts) {
    const bool is_late = parts.version.states_ends;
    Words words(lines, is_late ? "id, samples, dwell time in ns, delay in µs, two offsets in ppm, "
                                 "two offsets, phase shape"
                               : "id, samples, dwell time in ns, delay in µs, two offsets");
    const std::int64_t id = id_of(words);
    OtherEvent reading;
    const double samples = words.number("the number of samples", 0.0, 1e9);
    const double dwell = words.number("the dwell time", 0.0, 1e9);
    if (samples * dwell * 1e-3 > most_microseconds)
        words.refuse("samples that last more than a day", "at most a day");
    reading.lasts = picoseconds_of(Seconds(samples * dwell * 1e-9));
    reading.delay = microseconds(words, "the delay");
    for (int offset = is_late ? 0 : 2; offset < 4; ++offset)
        (void)words.number("an offset", -1e12, 1e12);
    if (is_late) (void)words.whole("the phase shape", 0, highest_id);
    words.end();
    parts.ADC.add(id, reading);
}

void read_delay(const TextLines& lines, SeqParts& parts) {
    Words words(lines, "id and delay in µs");
    const std::int64_t id = id_of(words);
    OtherEvent pause;
    pause.lasts = microseconds(words, "the delay");
    words.end();
    parts.delays.add(id, pause);
}

template <class Thing>
void require_room(const ById<Thing>& things, std::size_t most, const TextLines& lines) {
    if (things.size() >= most)
        throw InputError(lines.at(),
                         fmt::format("more than {0} events; accepted: at most {0}", most));
}

template <class Thing>
void settle(ById<Thing>& things, std::string_view kind, const files::OpenFile& file,
            const Sections& sections, std::string_view section) {
    if (const std::int64_t twice = things.settle()) {
        const auto found = sections.behind.find(section);
        throw InputError(
            {file.path(), found == sections.behind.end() ? 1 : found->second.line},
            fmt::format("two {} have the id {}; accepted: an id of its own for each", kind, twice));
    }
}

}  // namespace

Picoseconds picoseconds_of(Seconds time) { return Picoseconds(std::llround(time.count() * 1e12)); }

void read_events(const files::OpenFile& file, const Sections& sections, SeqParts& parts) {
    using Read = void (*)(const TextLines&, SeqParts&);
    const auto all = [&](std::string_view section, auto& things, std::size_t most, Read read) {
        for_each_row(file, sections, section, [&](const TextLines& lines) {
            require_room(things, most, lines);
            read(lines, parts);
        });
    };
    all("GRADIENTS", parts.gradients, most_gradients, read_shaped);
    all("TRAP", parts.gradients, most_gradients, read_trapezoid);
    all("RF", parts.RF, most_other_events, read_RF);
    all("ADC", parts.ADC, most_other_events, read_ADC);
    if (!parts.version.states_durations) all("DELAYS", parts.delays, most_other_events, read_delay);
    settle(parts.gradients, "gradients", file, sections,
           sections.has("GRADIENTS") ? "GRADIENTS" : "TRAP");
    settle(parts.RF, "RF pulses", file, sections, "RF");
    settle(parts.ADC, "ADC events", file, sections, "ADC");
    settle(parts.delays, "delays", file, sections, "DELAYS");
}

}  // namespace earbudget::waveforms
