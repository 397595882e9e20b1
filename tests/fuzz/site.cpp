// A site file of any content is refused, or adds its positions to a plan that has sequences.

#include <set>

#include "files/position_reader.hpp"
#include "fuzz/held.hpp"

using namespace earbudget;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    // Its folder of measured cards is looked for beside it: the demo's.
    const std::string path = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/read.toml";
    fuzz::use_or_refuse([&] {
        Plan plan{.title = "fuzzed", .sequences = {{.id = "epi-2mm"}, {.id = "localiser"}}};
        std::vector<std::string> paths;
        files::read_site(fuzz::document_of(data, size, path), path, plan, paths);
        std::set<std::string> ids;
        for (const Position& position : plan.positions)
            fuzz::hold(ids.insert(position.id).second, "each position once");
        fuzz::hold(!paths.empty() && paths.back() == path, "the file itself is among those read");
    });
    return 0;
}
