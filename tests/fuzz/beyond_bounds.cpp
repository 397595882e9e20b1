// Takes more of the time or the memory than it may: the bounds of the fuzz targets tell.

#include <ctime>
#include <string_view>
#include <vector>

#include "fuzz/bounds.hpp"

int main(int count, char** words) {
    const std::string_view of = count > 1 ? words[1] : "";
    const earbudget::fuzz::Bounded bounded(1, {0.05, 0.0, 1 << 20, 0});
    if (of == "time") {
        while (std::clock() < 2 * CLOCKS_PER_SEC)
            continue;
    }
    std::vector<char> memory(of == "memory" ? 2 << 20 : 1);
    volatile char& used = memory.back();  // so that the allocation is not left out
    used = 1;
    return 0;
}
