// The header of an image of any bytes says that it is none, or how many volumes there are.

#include "bids/nifti_header.hpp"
#include "fuzz/bounds.hpp"
#include "fuzz/file_in_memory.hpp"
#include "fuzz/held.hpp"

using namespace earbudget;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Bounded bounded(size, {0.1, 1e-6, 1 << 20, 64});
    const fuzz::FileInMemory file(data, size);
    try {
        const bids::NiftiHeader header = bids::read_nifti_header(file.path());
        fuzz::hold(header.volumes >= 1 && header.volumes <= 10'000'000, "volumes can be counted");
        if (header.step)
            fuzz::hold(std::isfinite(header.step->count()) && header.step->count() > 0.0,
                       "a step takes time");
    } catch (const bids::NoNifti& no) {
        fuzz::hold(!std::string(no.what()).empty(), "why it is no image is said");
    }
    return 0;
}
