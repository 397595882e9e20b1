// Prints what the library measures in a sound file, for a second witness to compare with:
// measure_witness FILE LEVEL, the level of a full-scale sine in dB. One "channel name value" a
// line.
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <string>

#include "earbudget/measurement/read_channels.hpp"
#include "earbudget/measurement/channel_levels.hpp"
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

}  // namespace

int main(int argc, char** argv) {
    if (argc != 3) return 2;
    try {
        files::SoundFile file(argv[1]);
        const Calibration calibration{LevelZ(std::strtod(argv[2], nullptr))};
        std::size_t channel = 0;
        for (const ChannelReading& reading : read_channels(file)) {
            print(++channel, calibrated(reading, calibration));
        }
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 2;
    }
    return 0;
}
