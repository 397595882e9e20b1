// Prints what the library measures in a sound file, for a second witness to compare with:
// measure_witness FILE LEVEL, the level of a full-scale sine in dB. One "channel name value" a
// line.
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <string>

#include "earbudget/measurement/meters/channel_reading.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "files/sound_file.hpp"

namespace {

using namespace earbudget;

template <class Quantity>
void print(std::size_t channel, const std::string& name, std::optional<Level<Quantity>> level) {
    if (level) std::printf("%zu %s %.6f\n", channel, name.c_str(), level->dB());
}

void print(std::size_t channel, const ChannelLevels& levels) {
    print(channel, "LAeq", levels.LAeq);
    print(channel, "LCeq", levels.LCeq);
    print(channel, "LZeq", levels.LZeq);
    print(channel, "LAE", levels.LAE);
    print(channel, "LCpeak", levels.LCpeak);
    print(channel, "LZpeak", levels.LZpeak);
    for (const OctaveBand band : octave_bands) {
        const std::string hertz(name_of(band));
        print(channel, "octave_Z_" + hertz, levels.octave.at(band));
        print(channel, "octave_A_" + hertz, levels.octave_A.at(band));
    }
}

void print(std::size_t channel, const TimeWeightedLevels& time, const Calibration& calibration) {
    const auto in_air = [&](const std::optional<LevelFS>& level) -> std::optional<LevelA> {
        if (!level) return std::nullopt;
        return calibration.level<quantity::AWeighted>(*level);
    };
    print(channel, "LAFmax", in_air(time.F_max));
    print(channel, "LAFmin", in_air(time.F_min));
    print(channel, "LASmax", in_air(time.S_max));
    print(channel, "LASmin", in_air(time.S_min));
    for (std::size_t n = 0; n < exceeded_percent.size(); ++n) {
        print(channel, "LAF" + std::to_string(exceeded_percent[n]), in_air(time.F_exceeded[n]));
    }
    for (std::size_t n = 0; n < time.seconds.size(); ++n) {
        print(channel, "second_" + std::to_string(n),
              in_air(level_of_mean_square(static_cast<double>(time.seconds[n]))));
    }
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 3) return 2;
    try {
        files::SoundFile file(argv[1]);
        const Calibration calibration{LevelZ(std::strtod(argv[2], nullptr))};
        std::size_t channel = 0;
        for (const ChannelReading& reading : read_channels(file)) {
            print(++channel, calibrated(reading, calibration));
            print(channel, reading.time, calibration);
        }
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 2;
    }
    return 0;
}
