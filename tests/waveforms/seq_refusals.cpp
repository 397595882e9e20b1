// What is refused, each with its place and what is accepted.
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "waveforms/written_sequence.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const std::string blocks = "[BLOCKS]\n1 60 0 1 0 0 0 0\n";
const std::string trapezoid = "[TRAP]\n1 425760 100 300 200 0\n";

std::string with_version(const std::string& major, const std::string& minor,
                         const std::string& revision) {
    return "[VERSION]\nmajor " + major + "\nminor " + minor + "\nrevision " + revision +
           "\n[BLOCKS]\n1 0 0 0 0 0 0\n";
}

struct Refused {
    std::string text;
    std::string begins;
};

void check_refused(const std::vector<Refused>& all) {
    for (const Refused& one : all) {
        const std::string refusal = WrittenSequence(one.text).refusal();
        CAPTURE(one.text.substr(0, 600));
        CAPTURE(refusal);
        CHECK(refusal.starts_with(one.begins));
        CHECK(refusal.find("; accepted: ") != refusal.npos);
    }
}

}  // namespace

TEST_CASE("versions that are not known are refused, those that are read") {
    for (const char* version : {"2 0", "2 1", "3 0", "3 1"}) {
        const std::string text = version;
        CHECK(WrittenSequence(
                  early_head(text.substr(0, 1), text.substr(2)) +
                  (text[0] == '2' ? "[BLOCKS]\n1 0 0 1 0 0 0\n" : "[BLOCKS]\n1 0 0 1 0 0 0 0\n") +
                  trapezoid)
                  .refusal()
                  .empty());
    }
    for (const char* version : {"4 0", "4 1", "4 2", "5 0", "5 1", "5 2", "5 3"}) {
        const std::string text = version;
        const WrittenSequence written(sequence_head(text.substr(0, 1), text.substr(2)) + blocks +
                                      trapezoid);
        CHECK(written.refusal().empty());
        CHECK(written.opened().format_version() == "1." + text.substr(0, 1) + "." + text.substr(2));
    }
    check_refused({{with_version("1", "5", "4"), "4:10: version 1.5.4 of the format is not known"},
                   {with_version("1", "1", "0"), "4:10: version 1.1.0"},
                   {with_version("2", "0", "0"), "4:10: version 2.0.0"},
                   {with_version("1", "4", "1post1"), "4:10: revision is no whole number"},
                   {"[VERSION]\nmajor 1\n[BLOCKS]\n", "2:7: the version is incomplete"},
                   {"[BLOCKS]\n1 0 0 0 0 0 0\n", "1:1: no [VERSION]"},
                   {"[VERSION]\nmajor 1\nminor 4\nrevision 0\n", "1:1: no [BLOCKS]"}});
}

TEST_CASE("what is missing is refused where it is asked for") {
    const std::string head = sequence_head();  // 13 lines
    check_refused(
        {{head + "[BLOCKS]\n1 60 0 2 0 0 0 0\n" + trapezoid, "15:8: gradient 2 is not in the file"},
         {head + "[BLOCKS]\n1 60 3 0 0 0 0 0\n", "15:6: RF pulse 3 is not in the file"},
         {head + "[BLOCKS]\n1 60 0 0 0 0 4 0\n", "15:14: ADC event 4 is not in the file"},
         {head + "[BLOCKS]\n1 60 0 0 0 0 0 5\n", "15:16: extension 5 is not in the file"},
         {head + blocks + "[GRADIENTS]\n1 425760 7 0 0\n", "17:10: shape 7 is not in the file"},
         {head + blocks + "[GRADIENTS]\n1 425760 7 8 0\n[SHAPES]\n\nshape_id 7\nnum_samples 1\n1\n",
          "17:12: shape 8 is not in the file"},
         {head + "[BLOCKS]\n1 60 1 0 0 0 0 0\n[RF]\n1 100 9 0 0 0 0 0\n",
          "17:7: shape 9 is not in the file"},
         {early_head("2", "1") + "[BLOCKS]\n1 8 0 0 0 0 0\n", "10:3: delay 8 is not in the file"},
         {"[VERSION]\nmajor 1\nminor 4\nrevision 0\n[DEFINITIONS]\nGradientRasterTime 1e-5\n" +
              blocks,
          "5:1: RadiofrequencyRasterTime is not stated"}});
}

TEST_CASE("an event that lasts longer than its block is refused, whichever it is") {
    const std::string head = sequence_head();
    const std::string shapes = "[SHAPES]\n\nshape_id 1\nnum_samples 700\n1\n0\n0\n697\n";
    check_refused(
        {{head + "[BLOCKS]\n1 59 0 1 0 0 0 0\n" + trapezoid,
          "15:8: the gradient on x ends after 0.6 ms, its block after 0.59 ms"},
         {head + "[BLOCKS]\n1 60 1 0 0 0 0 0\n[RF]\n1 100 1 0 0 0 0 0\n" + shapes,
          "15:6: the RF pulse ends after 0.7 ms"},
         {head + "[BLOCKS]\n1 60 0 0 0 0 1 0\n[ADC]\n1 100 5000 101 0 0\n",
          "15:14: the ADC event ends after 0.601 ms"},
         {head + "[BLOCKS]\n1 60 0 0 0 0 0 1\n[EXTENSIONS]\n1 1 1 0\nextension TRIGGERS 1\n"
                 "1 1 1 0 601\n",
          "15:16: the extension ends after 0.601 ms"}});
}

TEST_CASE("shapes that are not what they say are refused") {
    const std::string head =
        sequence_head() + blocks + "[GRADIENTS]\n1 425760 7 0 0\n[SHAPES]\n\nshape_id 7\n";
    check_refused(
        {{head + "num_samples 1000000000000\n1\n", "21:13: the number of samples is 1000000000000"},
         {head + "num_samples 5\n0\n0\n4\n", "20:1: a compressed shape goes on 4 times"},
         {head + "num_samples 5\n0\n0\n2\n", "20:1: what is stored of the shape is not"},
         {head + "num_samples 5\n0\n0\n", "20:1: a compressed shape ends where"},
         {head + "num_samples 5\n0\n0\n1.5\n", "20:1: a compressed shape goes on 1.5"},
         {head + "num_samples 5\n0\n0\n-1\n", "20:1: a compressed shape goes on -1"},
         {head + "num_samples 2\n0.5\nnan\n", "23:1: a value of a shape is \"nan\""},
         {head + "num_samples 2\n0.5\n1e999\n", "23:1: a value of a shape is \"1e999\""},
         {head + "num_samples 2\n0.5\n7\n", "17:10: shape 7 has a sample of 7"},
         {head + "num_samples 1\n0.5\n\n0.5\n", "24:1: \"0.5\" where no shape has begun"},
         {head + "0.5\n", "21:1: \"0.5\" where no shape has begun"},
         {head + "num_samples 1\n0.5\n\nshape_id 7\nnum_samples 1\n1\n",
          "24:10: two shapes have the id 7"}});
    const std::string timed = sequence_head("5", "0") + blocks + "[GRADIENTS]\n1 425760 0 0 7 ";
    const std::string two = "[SHAPES]\n\nshape_id 7\nnum_samples 2\n0\n0.5\n\nshape_id 8\n";
    check_refused({{timed + "-1 0\n" + two + "num_samples 1\n1\n",
                    "17:14: shape 7 has 2 samples at half the raster"},
                   {timed + "8 0\n" + two + "num_samples 2\n5\n4\n",
                    "17:16: shape 8 cannot be the times of shape 7"},
                   {timed + "8 0\n" + two + "num_samples 1\n5\n",
                    "17:16: shape 8 cannot be the times of shape 7"},
                   {timed + "8 0\n" + two + "num_samples 2\n-1\n4\n",
                    "17:16: shape 8 cannot be the times of shape 7"}});
}

TEST_CASE("numbers that are none, infinite or out of range are refused") {
    const std::string head = sequence_head() + blocks;
    check_refused(
        {{head + "[TRAP]\n1 nan 100 300 200 0\n", "17:3: the amplitude is no number: \"nan\""},
         {head + "[TRAP]\n1 inf 100 300 200 0\n", "17:3: the amplitude is no number: \"inf\""},
         {head + "[TRAP]\n1 1e12 100 300 200 0\n", "17:3: the amplitude is 1e12"},
         {head + "[TRAP]\n1 1 -100 300 200 0\n", "17:5: the rise time is -100"},
         {head + "[TRAP]\n1 1 100 300 200\n", "17:16: the delay is missing"},
         {head + "[TRAP]\n1 1 100 300 200 0 0\n", "17:19: one value too many"},
         {head + "[TRAP]\n1 1 100 300 200 0\n1 1 100 300 200 0\n", "16:1: two gradients have"},
         {head + "[TRAP]\n1 1 100 300 200 0\n[GRADIENTS]\n1 1 7 0 0\n", "18:1: two gradients have"},
         {sequence_head() + "[BLOCKS]\n1 -1 0 0 0 0 0 0\n", "15:3: the duration is -1"},
         {sequence_head() + "[BLOCKS]\n1 9000000000000000000 0 0 0 0 0 0\n",
          "15:3: a block of 9e+13 s"},
         {sequence_head() + "[BLOCKS]\n1 0 0 0 0 0 0 0\n", "14:1: no block lasts any time"},
         {sequence_head() + "[BLOCKS]\n1 60 0 0 0 0 0\n", "15:15: the extension is missing"},
         {"[VERSION]\nmajor 1\nminor 4\nrevision 0\n[DEFINITIONS]\nGradientRasterTime 0\n" + blocks,
          "6:20: GradientRasterTime is 0"}});
}

TEST_CASE("a file that is built wrong is refused") {
    const std::string head = sequence_head() + blocks + trapezoid;
    const std::string chain = sequence_head() +
                              "[BLOCKS]\n1 60 0 0 0 0 0 1\n[EXTENSIONS]\n1 1 1 1\n"
                              "extension RF_SHIMS 1\n1 1 1 1\n";
    check_refused(
        {{head + "[BLOCKS]\n", "18:1: [BLOCKS] a second time"},
         {head + "[SIGNATURE]\nType md5\nHash 00\n[RF]\n", "21:1: a section behind"},
         {head + "[SIGNATURE]\nType md5\n", "18:1: a signature without a sum"},
         {head + "[RF\n", "18:1: a heading without its end"},
         {chain, "15:16: a chain of more than 64 extensions"},
         {std::string("\x01pulseq\x02", 8), "1:1: a sequence in the format's binary form"},
         {"", "1:1: nothing stands in the file"},
         {"# nothing\n\n", "1:1: nothing stands in the file"},
         {head + std::string(20'000, 'x') + "\n", "18:1: a line of more than 10000 bytes"},
         {head + std::string("a\0b\n", 4), "18:2: a zero byte"}});
}
