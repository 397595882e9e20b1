// A response of any content is refused, or has finite lines within their ranges that are written and
// read back.

#include "responses/stored_response.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/file_in_memory.hpp"
#include "fuzz/held.hpp"

using namespace earbudget;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {0.5, 7e-6, 64 << 20, 4096});
    const fuzz::FileInMemory file(data, size);
    fuzz::use_or_refuse([&] {
        files::TextInputs inputs;
        const responses::StoredResponse stored = responses::read_response(file.path(), inputs);
        fuzz::hold(stored.response.bin_width.Hz() > 0.0, "lines lie apart");
        for (const AxisResponse& axis : stored.response.axes) {
            for (const auto& line : axis.lines) {
                if (!line) continue;
                fuzz::hold_finite(line->Pa_per_T_per_m.real());
                fuzz::hold_finite(line->Pa_per_T_per_m.imag());
                fuzz::hold(line->coherence >= 0.0 && line->coherence <= 1.0, "a coherence is one");
            }
        }
        fuzz::hold(!responses::written_response(stored).empty(), "it can be written");
    });
    return 0;
}
