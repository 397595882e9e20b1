#pragma once

namespace earbudget::files {

/// Interrupts (Ctrl-C, a closed terminal, the end of the machine's day) wait while any of these
/// lives in a thread, so that what it stands around is done as a whole. They may end in any order.
class InterruptsWait {
  public:
    InterruptsWait();
    InterruptsWait(const InterruptsWait&) = delete;
    InterruptsWait& operator=(const InterruptsWait&) = delete;
    ~InterruptsWait();
};

/// Thrown where work is broken off for an interrupt that waits: it ends the program as soon as the
/// last InterruptsWait is gone.
struct Interrupted {};

/// Where interrupts wait in this thread, waits until a descriptor can be written to and returns
/// how many bytes it certainly takes without blocking; elsewhere, at once, `wanted`.
/// Throws Interrupted when an interrupt comes first.
[[nodiscard]] unsigned long await_room(int descriptor, unsigned long wanted);

}  // namespace earbudget::files
