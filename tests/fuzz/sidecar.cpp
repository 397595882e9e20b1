// Sidecars of any bytes, of a series and of an anatomical scan, are refused, or give runs whose
// durations are times and a study that can be written.

#include <filesystem>

#include "bids/dataset.hpp"
#include "bids/scan_files.hpp"
#include "bids/scans.hpp"
#include "files/text_inputs.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/held.hpp"
#include "starting/drafted_study.hpp"
#include "starting/scans_of_study.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;

namespace {

/// A dataset of one subject whose sidecars are rewritten for each input.
struct Dataset {
    test::TemporaryFolder folder = {};

    Dataset() {
        static_cast<void>(folder.write("dataset_description.json", "{}"));
        static_cast<void>(folder.write("sub-01/func/sub-01_task-a_bold.nii", test::nifti_1(100)));
        static_cast<void>(folder.write("sub-01/anat/sub-01_T1w.nii", test::nifti_1(1)));
    }
};

void hold_runs(const bids::Scans& scans) {
    fuzz::hold(!scans.sessions.empty(), "a dataset has a session");
    for (const bids::Session& session : scans.sessions) {
        fuzz::hold(!session.runs.empty(), "a session has a run");
        for (const bids::Run& run : session.runs) {
            if (run.start) fuzz::hold_finite(run.start->count());
            fuzz::hold(run.duration || !run.missing.empty(), "what is missing is said");
            if (!run.duration) continue;
            const Seconds time = run.duration->time;
            fuzz::hold(std::isfinite(time.count()) && time.count() > 0.0, "a run lasts");
        }
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Dataset dataset;
    const std::string text(data, data + size);
    static_cast<void>(dataset.folder.write("task-a_bold.json", text));
    static_cast<void>(dataset.folder.write("sub-01/anat/sub-01_T1w.json", text));
    const fuzz::Bounded bounded(size, {0.5, 1e-4, 16 << 20, 16384});
    fuzz::use_or_refuse([&] {
        files::TextInputs inputs;
        const bids::Scans scans = files::without_mistakes([&](files::ErrorList& errors) {
            return bids::read_scans(dataset.folder.path(""), inputs, errors);
        });
        hold_runs(scans);
        starting::DraftedStudy study{.title = "fuzzed"};
        starting::add_runs("ds", scans, {}, study);
        starting::add_examples(study);
        for (const files::OutputFile& file : starting::files_of(study))
            static_cast<void>(files::parse_toml(file.content, file.path));
    });
    return 0;
}
