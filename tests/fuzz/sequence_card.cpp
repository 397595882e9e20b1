// A sequence card of any content is refused, or survives being written and read again.

#include "files/study_files.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/held.hpp"

using namespace earbudget;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {0.1, 7e-6, 4 << 20, 4096});
    fuzz::use_or_refuse([&] {
        const auto card =
            files::read_sequence_card(fuzz::document_of(data, size, "card.toml"), "card.toml");
        const std::string written = files::write_sequence_card(card);
        const auto again =
            files::read_sequence_card(files::parse_toml(written, "written.toml"), "written.toml");
        fuzz::hold(files::write_sequence_card(again) == written, "a card reads back as written");
    });
    return 0;
}
