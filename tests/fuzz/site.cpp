// A site file of any content is refused, or adds its positions to a plan that has sequences.

#include <set>

#include "files/study_files.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/held.hpp"

using namespace earbudget;

namespace {

Plan plan_of_two_sequences() {
    static const std::vector<Sequence> sequences = [] {
        const std::string cards = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/cards/";
        return std::vector<Sequence>{files::read_sequence_card(cards + "epi-2mm.toml"),
                                     files::read_sequence_card(cards + "localiser.toml")};
    }();
    return {.title = "fuzzed", .sequences = sequences};
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {0.5, 7e-6, 16 << 20, 4096});
    // Its folder of measured cards is looked for beside it: the demo's.
    const std::string path = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/read.toml";
    fuzz::use_or_refuse([&] {
        Plan plan = plan_of_two_sequences();
        std::vector<std::string> paths;
        files::read_site(fuzz::document_of(data, size, path), path, plan, paths);
        std::set<std::string> ids;
        for (const Position& position : plan.positions)
            fuzz::hold(ids.insert(position.id).second, "each position once");
        fuzz::hold(!paths.empty() && paths.back() == path, "the file itself is among those read");
    });
    return 0;
}
