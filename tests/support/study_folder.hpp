#pragma once

#include <string>

#include "support/temporary_folder.hpp"

namespace earbudget::test {

/// The files of a small study that the program accepts; tests spoil one at a time.
struct StudyText {
    std::string card =
        "kind = \"sequence\"\n"  // 1
        "format = 1\n"           // 2
        "id = \"epi\"\n"         // 3
        "[levels]\n"             // 4
        "LAeq = 108.0\n"         // 5
        "LCeq = 109.5\n"         // 6
        "LCpeak = 124.0\n"       // 7
        "uncertainty = 1.5\n"    // 8
        "[origin]\n"             // 9
        "how = \"entered\"\n";   // 10
    std::string protectors =
        "kind = \"protectors\"\n"  // 1
        "format = 1\n"             // 2
        "[[protector]]\n"          // 3
        "id = \"foam\"\n"          // 4
        "type = \"foam-plug\"\n"   // 5
        "metal_free = true\n"      // 6
        "SNR = 30\n"               // 7
        "NRR = 26\n"               // 8
        "[[protector]]\n"          // 9
        "id = \"muff\"\n"          // 10
        "type = \"earmuff\"\n"     // 11
        "NRR = 20\n";              // 12
    std::string plan =
        "kind = \"plan\"\n"                                 // 1
        "format = 1\n"                                      // 2
        "title = \"Small\"\n"                               // 3
        "sequences = \"cards\"\n"                           // 4
        "protectors = \"protectors.toml\"\n"                // 5
        "[policy]\n"                                        // 6
        "method = \"nrr\"\n"                                // 7
        "derating = \"none\"\n"                             // 8
        "criteria = [\"niosh-rel\", \"iec-60601-2-33\"]\n"  // 9
        "[background]\n"                                    // 10
        "LAeq = 68.0\n"                                     // 11
        "[[timeline]]\n"                                    // 12
        "sequence = \"epi\"\n"                              // 13
        "duration = \"8 min\"\n"                            // 14
        "repeat = 2\n"                                      // 15
        "[[timeline]]\n"                                    // 16
        "rest = \"2 min\"\n"                                // 17
        "[[person]]\n"                                      // 18
        "id = \"participant\"\n"                            // 19
        "role = \"participant\"\n"                          // 20
        "wears = [\"foam\"]\n";                             // 21
};

/// Those files in a folder of their own; the plan is plan.toml.
class StudyFolder {
  public:
    explicit StudyFolder(const StudyText& text = {}) {
        static_cast<void>(folder_.write("cards/epi.toml", text.card));
        static_cast<void>(folder_.write("protectors.toml", text.protectors));
        static_cast<void>(folder_.write("plan.toml", text.plan));
    }

    [[nodiscard]] std::string root() const { return folder_.path(""); }
    [[nodiscard]] const TemporaryFolder& folder() const { return folder_; }

  private:
    TemporaryFolder folder_;
};

/// Replaces the one place where `old` stands; throws when there is none.
inline std::string with(std::string text, const std::string& old, const std::string& fresh) {
    const std::size_t place = text.find(old);
    if (place == std::string::npos) throw std::runtime_error("the text has no " + old);
    return text.replace(place, old.size(), fresh);
}

}  // namespace earbudget::test
