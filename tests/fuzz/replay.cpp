// Runs a fuzz target over every file of the given folders: what once broke stays mended without a
// fuzzer at hand. Fails where a folder holds no file.

#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

int main(int count, char** folders) {
    std::size_t replayed = 0;
    for (int n = 1; n < count; ++n) {
        std::vector<std::filesystem::path> paths;
        for (const auto& entry : std::filesystem::directory_iterator(folders[n]))
            if (entry.is_regular_file()) paths.push_back(entry.path());
        std::sort(paths.begin(), paths.end());
        if (paths.empty()) {
            std::fprintf(stderr, "no file in %s\n", folders[n]);
            return 1;
        }
        for (const auto& path : paths) {
            std::ifstream file(path, std::ios::binary);
            const std::vector<std::uint8_t> bytes(std::istreambuf_iterator<char>(file), {});
            std::fprintf(stderr, "%s\n", path.filename().c_str());
            LLVMFuzzerTestOneInput(bytes.data(), bytes.size());
            ++replayed;
        }
    }
    std::printf("%zu inputs replayed\n", replayed);
    return replayed > 0 ? 0 : 1;
}
