// A setup of any content is refused, or states one way to calibrate at most and figures that are
// numbers.

#include "files/measuring_setup.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/file_in_memory.hpp"
#include "fuzz/held.hpp"

using namespace earbudget;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {0.5, 7e-6, 16 << 20, 4096});
    const fuzz::FileInMemory file(data, size);
    fuzz::use_or_refuse([&] {
        files::TextInputs inputs;
        const files::MeasuringSetup setup = files::read_measuring_setup(file.path(), inputs);
        for (const auto& number :
             {setup.calibrator_level_dB, setup.full_scale_level_dB, setup.sensitivity_mV_per_Pa,
              setup.full_scale_volts, setup.uncertainty_dB})
            if (number) fuzz::hold_finite(*number);
        const int ways = setup.calibration.has_value() + setup.full_scale_level_dB.has_value() +
                         setup.sensitivity_mV_per_Pa.has_value();
        fuzz::hold(ways <= 1, "there is one way to calibrate");
        fuzz::hold(setup.calibration.has_value() == setup.calibrator_level_dB.has_value(),
                   "a recording of a calibrator stands with its level");
        for (const auto& path : {setup.calibration, setup.calibration_after, setup.background})
            if (path) fuzz::hold(path->starts_with("/"), "recordings lie beside the setup");
    });
    return 0;
}
