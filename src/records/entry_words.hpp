#pragma once

#include <string>

#include "register/entry.hpp"
#include "sessions/bodies.hpp"

namespace earbudget::records {

/// What an entry tells, in a few words: "epi-2mm, 8 min, 80.1 dB(A) at the ear"; empty where its
/// kind says all.
[[nodiscard]] std::string words_of_entry(const registers::Entry& entry,
                                         sessions::RecordCache& cache);

/// What a run or a task is heard at, by its record: "80.1 dB(A) at the ear, 108.0 dB(A) outside";
/// that it is not known where there is none.
[[nodiscard]] std::string level_words(const sessions::SharedRecord& exposure);

}  // namespace earbudget::records
