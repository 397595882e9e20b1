#pragma once

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

#include "earbudget/study/input_error.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/error_list.hpp"
#include "files/toml_tree.hpp"
#include "report/words/words.hpp"

namespace earbudget::fuzz {

/// Ends the process where a promise is broken, which fuzzers and the replay count as a finding.
inline void hold(bool kept, std::string_view promise) {
    if (kept) return;
    std::fprintf(stderr, "broken promise: %.*s\n", static_cast<int>(promise.size()),
                 promise.data());
    std::abort();
}

/// A report as it is printed holds no character that is not seen, whatever texts it was made of.
inline void hold_is_seen(const std::string& report) {
    hold(!report.empty(), "a report is written");
    hold(visible_lines(report) == report, "all that is printed is seen");
}

inline void hold_finite(double number) { hold(std::isfinite(number), "numbers are finite"); }

/// A refusal says what is accepted, at a place from 1:1. (Control characters of quoted texts are
/// replaced where the message is said.)
inline void hold_is_clear(const InputError& refusal) {
    const std::string_view message = refusal.what();
    hold(message.find("accepted: ") != message.npos, "a refusal says what is accepted");
    hold(refusal.position().line >= 1 && refusal.position().column >= 1, "places count from 1");
}

/// Whatever is given: a clear refusal, or what `use` does with it. Any other exception is a
/// finding.
template <class Use>
void use_or_refuse(Use&& use) {
    try {
        use();
    } catch (const files::InputErrors& refusals) {
        for (const InputError& refusal : refusals.all())
            hold_is_clear(refusal);
    } catch (const InputError& refusal) {
        hold_is_clear(refusal);
    } catch (const Obstacle& obstacle) {
        hold_is_clear(InputError(obstacle.position(), text_of(obstacle.says())));
    }
}

/// The bytes as the TOML file at `path`.
inline files::TomlTable document_of(const std::uint8_t* data, std::size_t size,
                                    const std::string& path) {
    return files::parse_toml(std::string(data, data + size), path);
}

}  // namespace earbudget::fuzz
