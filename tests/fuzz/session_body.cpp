// The body of an entry of any bytes is refused, or what it says somebody heard can be judged:
// numbers are finite, and what was read is written and read again.

#include <memory>
#include <string>

#include "fuzz/bounds.hpp"
#include "fuzz/held.hpp"
#include "sessions/judged.hpp"

using namespace earbudget;

namespace {

void hold_judged(const sessions::ExposureRecord& record) {
    const auto again = sessions::read_record(json_of(record));
    fuzz::hold(again.has_value(), "what is written is read");
    fuzz::hold(json_of(*again) == json_of(record), "what is read is written again");
    static const auto calendar = sessions::Calendar::of("UTC").value();
    sessions::Judge judge(calendar, Drawn::AsFewAsAreSure);
    sessions::Heard heard{.when = {{0}, {3600000}}, .entry = 1, .session = 1};
    heard.exposure = std::make_shared<const sessions::ExposureRecord>(*again);
    const auto judged = judge.now({heard}, sessions::LocalDay{0}, record.role);
    for (const CriterionResult& result : judged->criteria) {
        if (result.value) fuzz::hold_finite(*result.value);
        if (result.margin) fuzz::hold_finite(result.margin->dB());
        if (result.probability_over) {
            const double probability = *result.probability_over;
            fuzz::hold(probability >= 0.0 && probability <= 1.0, "a probability is one");
        }
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(data, data + size);
    // As many draws and rows as a record may have cost seconds, whatever their number of bytes.
    const fuzz::Bounded bounded(size, {10.0, 1e-3, 128 << 20, 65536});
    sessions::RecordCache cache;
    static_cast<void>(sessions::read_event(text));
    static_cast<void>(sessions::read_check(text));
    static_cast<void>(sessions::read_clearance(text));
    const auto presence = sessions::read_presence(text, cache);
    if (presence && presence->rest) hold_judged(*presence->rest);
    const auto wear = sessions::read_wear(text, cache);
    if (wear && wear->rest) hold_judged(*wear->rest);
    const auto run = sessions::read_run(text, cache);
    if (run && run->exposure) hold_judged(*run->exposure);
    return 0;
}
