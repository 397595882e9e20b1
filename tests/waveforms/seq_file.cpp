// The file as a whole: sections in any order, remarks, line ends, the signature, what it says of
// itself.
#include <algorithm>
#include <string>

#include <doctest/doctest.h>

#include "files/open_file.hpp"
#include "support/near.hpp"
#include "waveforms/written_sequence.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const std::string blocks_section = "[BLOCKS]\n1 60 0 1 0 0 0 0\n2 60 0 2 0 0 0 0\n\n";
const std::string trap_section = "[TRAP]\n1 425760 100 300 200 0\n\n";
const std::string shaped_section = "[GRADIENTS]\n2 425760 7 0 0\n\n";
const std::string shapes_section = "[SHAPES]\n\nshape_id 7\nnum_samples 3\n0.5\n1\n0.5\n\n";

std::string with_signature(const std::string& text, const std::string& type,
                           const std::string& sum) {
    return text + "\n[SIGNATURE]\n# remarks\nType " + type + "\nHash " + sum + "\n";
}

}  // namespace

TEST_CASE("sections stand in any order, with remarks, blanks and other line ends") {
    const WrittenSequence usual(sequence_head() + blocks_section + trap_section + shaped_section +
                                shapes_section);
    const WrittenSequence turned("\xEF\xBB\xBF# of others\n" + shapes_section + shaped_section +
                                 trap_section + blocks_section + sequence_head());
    CHECK(turned.figures().rms_slew == usual.figures().rms_slew);
    std::string text =
        sequence_head() + blocks_section + trap_section + shaped_section + shapes_section;
    std::string windows;
    for (const char letter : text)
        windows += letter == '\n' ? std::string("\r\n") : std::string(1, letter);
    CHECK(WrittenSequence(windows).figures().rms_slew == usual.figures().rms_slew);
    text.replace(text.find("2 60 0"), 6, "# between\n  2\t60   0");
    text.pop_back();
    text.pop_back();
    CHECK(WrittenSequence(text).figures().rms_slew == usual.figures().rms_slew);
    CHECK(usual.notes().empty());
}

TEST_CASE("the signature is of all before the line feed of its heading") {
    const std::string text =
        sequence_head() + blocks_section + trap_section + shaped_section + shapes_section;
    const std::string sum = files::sha256_of_text(text);
    CHECK(WrittenSequence(with_signature(text, "sha256", sum)).notes().empty());
    std::string changed = text;
    changed.replace(changed.find("425760"), 6, "425761");
    CHECK(WrittenSequence(with_signature(changed, "sha256", sum)).notes() == "signature");
    CHECK(WrittenSequence(with_signature(text, "md4", sum)).notes() == "signature");
    // Sums of the same text by md5sum and sha1sum of GNU coreutils.
    const std::string small =
        "[VERSION]\nmajor 1\nminor 3\nrevision 0\n\n[BLOCKS]\n1 1 0 0 0 0 0 "
        "0\n[DELAYS]\n1 5\n";
    CHECK(WrittenSequence(with_signature(small, "md5", "c38c94e45767543eab59724dafb5c355"))
              .notes()
              .empty());
    CHECK(WrittenSequence(with_signature(small, "SHA1", "1e932fd80e74653b3820dd4e90f3d4aba0941755"))
              .notes()
              .empty());
}

TEST_CASE("what the file says of itself: title, duration, sections that are none") {
    const std::string rest = blocks_section + trap_section + shaped_section + shapes_section;
    const WrittenSequence titled(sequence_head("4", "1", "Name echo planar\nFOV 0.2 0.2 0.1\n") +
                                 rest);
    CHECK(titled.opened().title() == "echo planar");
    CHECK(
        WrittenSequence(sequence_head("4", "1", "TotalDuration 0.0012\n") + rest).notes().empty());
    CHECK(WrittenSequence(sequence_head("4", "1", "TotalDuration 0.0013\n") + rest).notes() ==
          "duration");
    CHECK(WrittenSequence(sequence_head() + rest + "[DELAYS]\n1 5\n[OTHER]\nwhat ever\n").notes() ==
          "unknown-section unknown-section");
}

TEST_CASE("the hash is of the file's bytes, and one that is written to is refused") {
    const std::string text =
        sequence_head() + blocks_section + trap_section + shaped_section + shapes_section;
    const WrittenSequence written(text);
    auto file = written.opened();
    CHECK(file.sha256() == files::sha256_of_text(text));
    file.require_unchanged();
    static_cast<void>(written.folder.write("test.seq", text + "\n"));
    CHECK_THROWS_AS(file.require_unchanged(), InputError);
    CHECK_THROWS_AS(static_cast<void>(waveforms::open_waveform(written.path + "x")), InputError);
}
