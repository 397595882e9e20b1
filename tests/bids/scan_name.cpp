// Names by BIDS, and patterns of names.
#include "bids/scan_name.hpp"

#include <string>

#include <doctest/doctest.h>

using namespace earbudget::bids;

TEST_CASE("a name by BIDS has entities and a suffix, any other name has none") {
    const ScanName name = scan_name_of("sub-01_task-rest_acq-2p5mm+_run-02_bold");
    CHECK(name.is_by_rule());
    CHECK(name.suffix == "bold");
    CHECK(name.value_of("task") == "rest");
    CHECK(name.value_of("acq") == "2p5mm+");
    CHECK(name.without({"sub", "run"}) == "task-rest_acq-2p5mm+_bold");
    for (const char* other : {"5_rest_bold", "sub-01_", "sub_01-bold", "sub-_bold", "sub-01_a b"})
        CHECK_MESSAGE(!scan_name_of(other).is_by_rule(), other);
    CHECK(stem_and_ending("a.b_T1w.nii.gz").first == "a.b_T1w");
}

TEST_CASE("metadata are about names with their entities and suffix, and possibly more") {
    const ScanName image = scan_name_of("sub-01_task-rest_run-1_bold");
    for (const char* above : {"bold", "task-rest_bold", "run-1_task-rest_bold", "sub-01_bold"})
        CHECK_MESSAGE(scan_name_of(above).applies_to(image), above);
    for (const char* other :
         {"task-nback_bold", "task-rest_sbref", "task-rest_echo-1_bold", "rest bold"})
        CHECK_MESSAGE(!scan_name_of(other).applies_to(image), other);
}

TEST_CASE("stars stand for any characters, question marks for one") {
    const std::string name = "sub-01_task-rest_bold";
    for (const char* pattern :
         {"*task-rest*bold*", "sub-0?_*", "*", "**d", "sub-01_task-rest_bold"})
        CHECK_MESSAGE(fits(pattern, name), pattern);
    for (const char* pattern : {"task-rest*", "*task-rest", "*?_task_rest*", "", "*bold?"})
        CHECK_MESSAGE(!fits(pattern, name), pattern);
    CHECK(fits("", ""));
    // Not for ever, however many stars there are.
    std::string stars;
    for (int n = 0; n < 1000; ++n)
        stars += "*a";
    CHECK(!fits(stars + "b", std::string(2000, 'a')));
}
