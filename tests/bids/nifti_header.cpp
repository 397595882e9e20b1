// Volumes from the headers of images, of both versions, in both byte orders, compressed or not.
#include "bids/nifti_header.hpp"

#include <string>

#include <doctest/doctest.h>

#include "bids/dataset.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

bids::NiftiHeader header_of(const std::string& bytes) {
    const TemporaryFolder folder;
    return bids::read_nifti_header(folder.write("image.nii", bytes));
}

std::string why_none(const std::string& bytes) {
    try {
        static_cast<void>(header_of(bytes));
    } catch (const bids::NoNifti& failure) {
        return failure.what();
    }
    return "";
}

}  // namespace

TEST_CASE("volumes stand in the header, whatever its version, byte order and compression") {
    for (const bool swapped : {false, true}) {
        CHECK(header_of(nifti_1(240, 2.5F, swapped)).volumes == 240);
        CHECK(header_of(nifti_2(70'000, swapped)).volumes == 70'000);
        CHECK(header_of(gzipped(nifti_1(240, 2.5F, swapped))).volumes == 240);
        CHECK(header_of(gzipped(nifti_2(70'000, swapped))).volumes == 70'000);
    }
    CHECK(header_of(nifti_1(240, 2.5F)).step == Seconds(2.5));
    CHECK(!header_of(nifti_1(240, 0.0F)).step);
    // The smallest number above 0, of microseconds, is no number of seconds above 0.
    std::string least = nifti_2(240);
    put_number(least, 104 + 4 * 8, 5e-324);
    put_number<std::int32_t>(least, 500, 8);
    CHECK(header_of(least).step->count() > 0.0);
    put_number<std::int32_t>(least, 500, 24);
    CHECK(!header_of(least).step);
}

TEST_CASE("an image of three dimensions is one volume, whatever stands in the fourth") {
    std::string bytes = nifti_1(240);
    put_number<std::int16_t>(bytes, 40, 3);
    CHECK(header_of(bytes).volumes == 1);
}

TEST_CASE("only the header is decompressed: what follows may be cut off or broken") {
    std::string bytes = gzipped(nifti_1(240) + std::string(1'000'000, 'x'));
    bytes.resize(bytes.size() / 2);
    CHECK(header_of(bytes).volumes == 240);
}

TEST_CASE("what is no image says why") {
    CHECK(why_none("") == "it ends after 0 bytes, within its header");
    CHECK(why_none(nifti_1(240).substr(0, 200)) == "it ends after 200 bytes, within its header");
    CHECK(why_none(nifti_2(240).substr(0, 400)) == "it ends after 400 bytes, within its header");
    CHECK(why_none(std::string(600, 'x')) == "it has no header of NIfTI-1 or NIfTI-2");
    std::string damaged = gzipped(nifti_1(240));
    damaged.replace(10, 12, 12, '\xff');
    CHECK(why_none(damaged).find("cannot be decompressed") != std::string::npos);
    std::string no_volumes = nifti_1(-3);
    CHECK(why_none(no_volumes) == "its header says -3 volumes");
    std::string dimensions = nifti_1(240);
    put_number<std::int16_t>(dimensions, 40, 9);
    // Read in the other byte order it would have 2304 dimensions.
    CHECK(why_none(dimensions) == "its header says 9 dimensions");
}
