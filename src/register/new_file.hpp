#pragma once

#include <array>
#include <string>

#include <sys/types.h>

#include "files/output.hpp"

namespace earbudget::registers {

/// A database to be: made under a hidden name beside its place, with these permissions, and gone
/// unless it is moved there whole. Interrupts wait meanwhile.
class NewFile {
  public:
    /// Throws InputError where something stands in its place or nothing can be made there,
    /// std::system_error for a fault of the machine.
    NewFile(std::string place, mode_t permissions);
    NewFile(const NewFile&) = delete;
    NewFile& operator=(const NewFile&) = delete;
    /// Takes away what was not moved, or not kept.
    ~NewFile();

    /// Where it is now.
    [[nodiscard]] const std::string& path() const { return path_; }

    /// Has it stored and moved to its place in one step, never over another file. It must not be
    /// open any more.
    void move_to_place();
    /// What was moved stays.
    void keep() { is_kept_ = true; }

  private:
    files::AllocationsThrow allocations_throw_;
    files::InterruptsWait waiting_;
    std::string place_;
    std::string path_;
    std::array<std::string, 3> beside_;  ///< what SQLite makes beside it, named before it is needed
    bool is_kept_ = false;
};

}  // namespace earbudget::registers
