// A response file keeps what was compared with it.
#include <doctest/doctest.h>

#include "responses/stored_response.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("a comparison more is read back, and all else of the file stays") {
    const TemporaryFolder folder;
    const std::string before =
        "kind = \"response\"\nformat = 1  # kept\nbin_width_Hz = 10.0\n[axis.x]\ndriven = true";
    const std::string once =
        responses::with_comparison(before, {"epi-2mm", "2026-11-02", LevelDifference(-1.25), true});
    CHECK(once.starts_with(before));
    const std::string twice =
        responses::with_comparison(once, {"gre", "2026-11-03", LevelDifference(6.0), false});
    files::TextInputs inputs;
    const auto stored = responses::read_response(folder.write("r.toml", twice), inputs);
    REQUIRE(stored.comparisons.size() == 2);
    CHECK(stored.comparisons[0].sequence == "epi-2mm");
    CHECK(stored.comparisons[0].LAeq_difference == LevelDifference(-1.25));
    CHECK(stored.comparisons[0].inside);
    CHECK_FALSE(stored.comparisons[1].inside);
    CHECK(stored.response.axes[0].driven);
}
