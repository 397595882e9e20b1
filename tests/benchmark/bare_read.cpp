// The least that measuring can cost: reads a sound file and sums the squares. bare_read FILE
#include <cstdio>
#include <vector>

#include <sndfile.h>

int main(int argc, char** argv) {
    if (argc != 2) return 2;
    SF_INFO info{};
    SNDFILE* file = sf_open(argv[1], SFM_READ, &info);
    if (!file) {
        std::fprintf(stderr, "bare_read: %s\n", sf_strerror(nullptr));
        return 2;
    }
    constexpr sf_count_t block_frames = 65536;
    const auto channels = static_cast<std::size_t>(info.channels);
    std::vector<double> block(static_cast<std::size_t>(block_frames) * channels);
    double sum = 0.0;
    while (const sf_count_t frames = sf_readf_double(file, block.data(), block_frames)) {
        const std::size_t samples = static_cast<std::size_t>(frames) * channels;
        for (std::size_t n = 0; n < samples; ++n)
            sum += block[n] * block[n];
    }
    std::printf("%.17g\n", sum);
    sf_close(file);
    return 0;
}
