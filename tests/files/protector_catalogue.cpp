#include "files/study_files.hpp"

#include <algorithm>
#include <numeric>
#include <random>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "earbudget/protection/rating_from_octaves.hpp"
#include "support/near.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

struct Column {
    std::string frequency;
    double mean;
    double deviation;
};

const std::vector<Column> columns = {{"63", 20.1, 5.1},   {"125", 21.2, 4.2},  {"250", 22.3, 4.3},
                                     {"500", 23.4, 4.4},  {"1000", 26.5, 3.5}, {"2000", 31.6, 3.6},
                                     {"3150", 35.7, 3.7}, {"4000", 38.8, 3.8}, {"6300", 39.9, 4.9},
                                     {"8000", 40.0, 5.0}};

OctaveAttenuation read(const std::vector<Column>& list) {
    std::string frequency;
    std::string mean;
    std::string deviation;
    for (const Column& column : list) {
        frequency += column.frequency + ", ";
        mean += fmt::format("{:.1f}, ", column.mean);
        deviation += fmt::format("{:.1f}, ", column.deviation);
    }
    const TemporaryFolder folder;
    const std::string path = folder.write(
        "p.toml",
        fmt::format("kind = \"protectors\"\nformat = 1\n[[protector]]\nid = \"a\"\ntype = "
                    "\"earmuff\"\nfrequency = [{}]\nmean = [{}]\nsd = [{}]\n",
                    frequency, mean, deviation));
    return files::read_protector_catalogue(path).protectors.front().protector.octave.value();
}

bool refuses(const std::vector<Column>& list, const std::string& words) {
    try {
        static_cast<void>(read(list));
    } catch (const InputError& error) {
        return std::string(error.what()).find(words) != std::string::npos;
    }
    return false;
}

bool same(const OctaveAttenuation& a, const OctaveAttenuation& b) {
    if (a.bands() != b.bands()) return false;
    for (const OctaveBand band : octave_bands) {
        if (!a.has(band)) continue;
        if (a.mean(band) != b.mean(band) || a.deviation(band) != b.deviation(band)) return false;
    }
    return std::all_of(extra_bands.begin(), extra_bands.end(), [&](ExtraBand band) {
        return a.at(band) && b.at(band) && a.at(band)->mean == b.at(band)->mean &&
               a.at(band)->deviation == b.at(band)->deviation;
    });
}

}  // namespace

TEST_CASE("3150 and 6300 Hz are read beside the octave bands and belong to none") {
    const OctaveAttenuation attenuation = read(columns);
    CHECK(attenuation.bands() == permitted_attenuation_bands());
    CHECK(attenuation.mean(OctaveBand::Hz4000).dB() == 38.8);
    CHECK(attenuation.mean(OctaveBand::Hz8000).dB() == 40.0);
    CHECK(attenuation.at(ExtraBand::Hz3150)->mean.dB() == 35.7);
    CHECK(attenuation.at(ExtraBand::Hz3150)->deviation.dB() == 3.7);
    CHECK(attenuation.at(ExtraBand::Hz6300)->mean.dB() == 39.9);
    std::vector<Column> octaves = columns;
    std::erase_if(octaves,
                  [](const Column& c) { return c.frequency == "3150" || c.frequency == "6300"; });
    CHECK_FALSE(read(octaves).at(ExtraBand::Hz3150));
    CHECK_FALSE(read(octaves).at(ExtraBand::Hz6300));
}

TEST_CASE("3000 and 6000 Hz are the same bands as 3150 and 6300 Hz") {
    std::vector<Column> old = columns;
    old[6].frequency = "3000";
    old[8].frequency = "6000";
    CHECK(same(read(old), read(columns)));
    std::vector<Column> both = columns;
    both.push_back({"3000", 35.0, 3.0});
    CHECK(refuses(both, "3000 Hz stands twice"));
}

TEST_CASE("the order of bands in a file does not matter") {
    std::mt19937 random(91);
    const OctaveAttenuation ordered = read(columns);
    std::vector<Column> shuffled = columns;
    for (int round = 0; round < 10; ++round) {
        std::shuffle(shuffled.begin(), shuffled.end(), random);
        const OctaveAttenuation attenuation = read(shuffled);
        CHECK(same(attenuation, ordered));
        CHECK(compute_nrr(attenuation) == compute_nrr(ordered));
        CHECK(compute_snr(attenuation, 1.0) == compute_snr(ordered, 1.0));
        CHECK(compute_hml(attenuation, 1.0).H == compute_hml(ordered, 1.0).H);
    }
}

TEST_CASE("a measured pair of a canal cap and an earmuff is refused") {
    const TemporaryFolder folder;
    const std::string path =
        folder.write("p.toml",
                     "kind = \"protectors\"\nformat = 1\n"
                     "[[protector]]\nid = \"cap\"\ntype = \"canal-cap\"\nSNR = 20\n"
                     "[[protector]]\nid = \"muff\"\ntype = \"earmuff\"\nSNR = 25\n"
                     "[[pair]]\nprotectors = [\"muff\", \"cap\"]\nSNR = 28\n");
    std::string message;
    try {
        static_cast<void>(files::read_protector_catalogue(path));
    } catch (const InputError& error) {
        message = error.what();
    }
    CHECK(message.find("[[pair]] names a canal cap under an earmuff") != std::string::npos);
}

TEST_CASE("other frequencies are refused, naming those accepted") {
    for (const std::string frequency : {"100", "3200", "5000", "31.5", "16000"}) {
        CAPTURE(frequency);
        std::vector<Column> list = columns;
        list.front().frequency = frequency;
        CHECK(refuses(list, "accepted"));
    }
}
