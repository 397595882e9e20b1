#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "waveforms/seq_extension_names.hpp"
#include "waveforms/seq_sections.hpp"

namespace earbudget::waveforms {

namespace {

// The kind of a trigger that waits for something from outside (the format's specification, example
// of TRIGGERS: type 2 a cardiac trigger, type 1 an output).
constexpr std::int64_t waiting_trigger = 2;

Picoseconds time_of(Words& words, std::string_view what) {
    return picoseconds_of(Seconds(words.number(what, 0.0, most_microseconds) * 1e-6));
}

class ExtensionReader {
  public:
    explicit ExtensionReader(SeqParts& parts) : parts_(parts), all_(parts.extensions) {}

    void take(const TextLines& lines) {
        if (++rows_ > most_other_events) {
            throw InputError(lines.at(), fmt::format("more than {0} lines of extensions; "
                                                     "accepted: at most {0}",
                                                     most_other_events));
        }
        if (Words(lines, "").next() == "extension") {
            begin(lines);
        } else if (!kind_) {
            take_entry(lines);
        } else {
            take_object(lines);
        }
    }

  private:
    void begin(const TextLines& lines) {
        Words words(lines, "extension, its name, its number");
        (void)words.word("extension");
        const std::string name(words.word("the extension's name"));
        const SourcePosition place = words.place();
        kind_ = extension_kinds.parse(name).value_or(ExtensionKind::Unknown);
        const std::int64_t number = words.whole("the extension's number", 1, highest_id);
        if (!all_.kinds.emplace(number, *kind_).second) {
            words.refuse(fmt::format("two extensions have the number {}", number),
                         "a number of its own for each");
        }
        words.end();
        if (*kind_ != ExtensionKind::Unknown) return;
        if (parts_.notes.size() >= 100) return;  // nobody would read more
        parts_.notes.push_back({"unknown-extension",
                                fmt::format("the extension {} is not known and was passed over; "
                                            "the sequence does not say that it requires it",
                                            shown(name)),
                                place});
    }

    void take_entry(const TextLines& lines) {
        Words words(lines, "id, number of the extension, id of the object, id of the next entry");
        const std::int64_t id = id_of(words);
        ExtensionEntry entry;
        entry.type = words.whole("the extension's number", 0, highest_id);
        entry.object = words.whole("the object's id", 0, highest_id);
        entry.next = words.whole("the next entry's id", 0, highest_id);
        words.end();
        all_.entries.add(id, entry);
    }

    void take_object(const TextLines& lines) {
        switch (*kind_) {
            case ExtensionKind::Triggers:
                return take_trigger(lines);
            case ExtensionKind::SetLabel:
                return take_label(lines, all_.set);
            case ExtensionKind::AddToLabel:
                return take_label(lines, all_.added);
            case ExtensionKind::SoftDelays:
                all_.soft_delays.add(first_of(lines), true);
                return;
            case ExtensionKind::Rotations:
                return take_rotation(lines);
            case ExtensionKind::Shims:
                all_.shims.add(first_of(lines), true);
                return;
            case ExtensionKind::Unknown:
                return;
        }
    }

    static std::int64_t id_of(Words& words) { return words.whole("the id", 1, highest_id); }

    static std::int64_t first_of(const TextLines& lines) {
        Words words(lines, "an id and what belongs to it");
        return id_of(words);
    }

    void take_trigger(const TextLines& lines) {
        Words words(lines, "id, type, channel, delay and duration in µs");
        const std::int64_t id = id_of(words);
        Trigger trigger;
        trigger.waits = words.whole("the type", 0, 1000) == waiting_trigger;
        (void)words.whole("the channel", 0, 1000);
        trigger.delay = time_of(words, "the delay");
        trigger.lasts = time_of(words, "the duration");
        words.end();
        all_.triggers.add(id, trigger);
    }

    static void take_label(const TextLines& lines, ById<LabelChange>& changes) {
        Words words(lines, "id, value, label");
        const std::int64_t id = id_of(words);
        LabelChange change;
        change.value = words.whole("the value", -highest_id, highest_id);
        const std::string_view name = words.word("the label");
        change.label = name == "ONCE"    ? Label::Once
                       : name == "NOROT" ? Label::NoRotation
                                         : Label::Other;
        words.end();
        changes.add(id, change);
    }

    void take_rotation(const TextLines& lines) {
        constexpr double most_off_unit_length = 1e-2;  // own choice: of four digits
        Words words(lines, "id and the four parts of a unit quaternion, the real one first");
        const std::int64_t id = id_of(words);
        std::array<double, 4> q{};
        double squared = 0.0;
        for (double& part : q) {
            part = words.number("a part of the quaternion", -1.1, 1.1);
            squared += part * part;
        }
        words.end();
        if (std::abs(squared - 1.0) > most_off_unit_length) {
            throw InputError(lines.at(), fmt::format("a quaternion of length {:.3g}; accepted: of "
                                                     "length 1",
                                                     std::sqrt(squared)));
        }
        all_.rotations.add(id, q);
    }

    SeqParts& parts_;
    Extensions& all_;
    std::optional<ExtensionKind> kind_;
    std::size_t rows_ = 0;
};

template <class Thing>
void settle_all(ById<Thing>& things, std::string_view kind, const SourcePosition& place) {
    if (const std::int64_t twice = things.settle())
        throw InputError(place, fmt::format("two {} have the id {}; accepted: an id of its own for "
                                            "each",
                                            kind, twice));
}

}  // namespace

void read_extensions(const files::OpenFile& file, const Sections& sections, SeqParts& parts) {
    const auto section = sections.behind.find("EXTENSIONS");
    if (section == sections.behind.end()) return;
    ExtensionReader reader(parts);
    for_each_row(file, sections, "EXTENSIONS", [&](const TextLines& lines) { reader.take(lines); });
    const SourcePosition place{file.path(), section->second.line};
    Extensions& all = parts.extensions;
    settle_all(all.entries, "entries of [EXTENSIONS]", place);
    settle_all(all.triggers, "triggers", place);
    settle_all(all.set, "labels that are set", place);
    settle_all(all.added, "labels that are added to", place);
    settle_all(all.rotations, "rotations", place);
    settle_all(all.soft_delays, "soft delays", place);
    settle_all(all.shims, "sets of shims", place);
}

}  // namespace earbudget::waveforms
