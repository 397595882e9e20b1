// A recording of any bytes is refused, or read to its end and measured to finite levels.

#include <numeric>
#include <vector>

#include "earbudget/measuring/measure.hpp"
#include "files/sound_file.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/file_in_memory.hpp"
#include "fuzz/held.hpp"
#include "report/document.hpp"
#include "report/reports.hpp"

using namespace earbudget;

namespace {

/// What damaged files break is reading, and measuring costs much more: while fuzzing, one input in
/// sixty-four goes on from the one to the other, with few channels. Replaying measures all.
bool is_measured(const std::uint8_t* data, std::size_t size, std::size_t channels) {
#ifdef EARBUDGET_FUZZING
    constexpr std::size_t few = 4;
    return channels <= few && std::accumulate(data, data + size, size) % 64 == 0;
#else
    return data && size > 0 && channels > 0;
#endif
}

void read_to_the_end(files::SoundFile& recording) {
    fuzz::hold(recording.sample_rate().Hz() > 0.0, "a recording that is opened has a rate");
    if (const auto beyond = recording.state().time_beyond_header)
        fuzz::hold_finite(beyond->count());
    constexpr std::size_t frames = 4096;
    std::vector<double> block(frames * recording.channels());
    while (recording.read(block) == frames)
        continue;
    const auto duration = recording.announced_duration();
    fuzz::hold(!duration || duration->count() > 0.0, "a recording that has an end takes time");
    fuzz::hold(recording.sha256().size() == 64, "what was read is hashed");
}

void hold_levels(const MeasuredRecording& recording) {
    for (const MeasuredChannel& channel : recording.channels) {
        if (channel.levels.LAeq) fuzz::hold_finite(channel.levels.LAeq->dB());
        if (channel.levels.LCpeak) fuzz::hold_finite(channel.levels.LCpeak->dB());
        if (channel.uncertainty) fuzz::hold_finite(channel.uncertainty->combined().dB());
        for (const MeasuredTone& tone : channel.tones)
            fuzz::hold_finite(tone.level.dB());
    }
}

}  // namespace

/// Opening damaged Ogg files loses some memory inside their library.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() { return "leak:libvorbis\n"; }

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {10.0, 1e-4, 512 << 20, 1024});
    const fuzz::FileInMemory file(data, size);
    const auto open = [&file] { return std::make_unique<files::SoundFile>(file.path()); };
    const MeasureRequest stated{.calibration = StatedCalibration{{Calibration(LevelZ(130.0))}},
                                .find_runs = size % 2 == 1};
    fuzz::use_or_refuse([&] { read_to_the_end(*open()); });
    fuzz::use_or_refuse([&] {
        const auto recording = open();
        if (!is_measured(data, size, recording->channels())) return;
        const MeasuredRecording measured = measure(*recording, stated);
        hold_levels(measured);
        const report::RecordingReport report{.file = {"sound", std::string(64, '0')},
                                             .measured = measured,
                                             .runs_asked_for = stated.find_runs};
        const report::Record record{.date = "2026-01-31", .inputs = {report.file}};
        fuzz::hold(!report::measure_json({report}, record).empty(), "JSON is written");
        fuzz::hold(!report::as_text(report::measure_document({report}, record), {}).empty(),
                   "text is written");
    });
    return 0;
}
