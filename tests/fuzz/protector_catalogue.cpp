// A catalogue of any content is refused, or its ratings are computed and printed.

#include "earbudget/choice/check_ratings.hpp"
#include "files/study_files.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/held.hpp"
#include "report/document.hpp"
#include "report/reports.hpp"

using namespace earbudget;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {0.5, 2e-4, 16 << 20, 32768});
    fuzz::use_or_refuse([&] {
        const Catalogue catalogue = files::read_protector_catalogue(
            fuzz::document_of(data, size, "protectors.toml"), "protectors.toml");
        const RatingsCheck check = check_ratings(catalogue, Tracing::On);
        const report::Record record{.date = "2026-01-31",
                                    .inputs = {{"protectors.toml", std::string(64, '0')}},
                                    .with_working = true};
        fuzz::hold_is_seen(report::ratings_json(check, record));
        fuzz::hold_is_seen(
            report::printed(report::as_text(report::ratings_document(check, record), {})));
    });
    return 0;
}
