#pragma once

#include <cerrno>

namespace earbudget::files {

/// Whether an error of the system (errno) is a fault of the machine, not of the place or the file
/// that was named: no room, no memory, no file to be opened any more, a disk that fails.
[[nodiscard]] inline bool is_machine_fault(int error) {
    return error == ENOSPC || error == EDQUOT || error == EMFILE || error == ENFILE ||
           error == ENOMEM || error == EIO || error == EFBIG;
}

}  // namespace earbudget::files
