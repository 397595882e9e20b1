#pragma once

#include <memory>
#include <new>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace earbudget::files {

/// Throws what errno says of a place that cannot be written to, as a fault of the machine.
[[noreturn]] void fail_to_write(const std::string& place);

/// Throws what errno says of it: a fault of the machine as that, anything else as InputError, with
/// what else is accepted.
[[noreturn]] void refuse_place(const std::string& place, const std::string& or_else = "");

/// Refuses at once what writing would refuse, before anything is computed: a file that exists, or
/// with `force` one that cannot be replaced; a folder that does not exist or cannot be written to;
/// and, with and without `force`, what is no regular file: a symbolic link too, whatever it points
/// to. Throws InputError.
void check_can_write(const std::string& path, bool force);

/// Refuses two outputs that are the same file, however their names are spelled. Throws InputError
/// at the later one.
void check_all_different(const std::vector<std::string>& outputs);

/// What a command read, or could have read: everything in a folder that is looked through for
/// cards is one of these, used or passed over.
struct ReadBefore {
    std::vector<std::string> files;
    std::set<std::string> folders = {};
};

/// Refuses to write over a file that was read or could have been, by whatever name or link.
/// Throws InputError.
void check_is_no_input(const std::string& path, const ReadBefore& inputs);

/// Refuses a standard output that somebody led into one of the outputs, or one of the inputs.
/// Throws InputError.
void check_standard_output(const std::vector<std::string>& outputs, const ReadBefore& inputs);

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

class DraftFile;

/// A file to be written.
struct OutputFile {
    std::string path;
    std::string content;
};

/// All that one command writes into files: every file is whole or not there, and all are in their
/// places or none, but where the power is lost or the program is killed between two moves.
class OutputFiles {
  public:
    /// Has all stored beside their places, where nothing changes yet. An existing file is replaced
    /// only with `force`. Throws InputError for an existing file and for a place that cannot be
    /// written to, and std::system_error for a fault of the machine (disk full).
    OutputFiles(const std::vector<OutputFile>& files, bool force);
    OutputFiles(const OutputFiles&) = delete;
    OutputFiles& operator=(const OutputFiles&) = delete;
    ~OutputFiles();

    /// Puts them into their places, once. What it throws, as the constructor does, leaves every
    /// place as it was; where the system refuses even that, std::runtime_error says where the
    /// earlier file is.
    void move_to_places();

  private:
    /// While drafts have names a failing allocation is an exception, which takes them away, and
    /// does not end the program where it happens.
    class AllocationsThrow {
      public:
        AllocationsThrow() : before_(std::set_new_handler(nullptr)) {}
        AllocationsThrow(const AllocationsThrow&) = delete;
        AllocationsThrow& operator=(const AllocationsThrow&) = delete;
        ~AllocationsThrow() { std::set_new_handler(before_); }

      private:
        std::new_handler before_;
    };

    void move_one(std::size_t n);
    [[nodiscard]] std::string left_behind_by_putting_back(std::size_t moved);

    AllocationsThrow allocations_throw_;
    std::vector<std::unique_ptr<DraftFile>> drafts_;
    bool force_;
};

/// Writes to standard output. Throws std::system_error when that fails, Interrupted when the
/// program is interrupted while drafts wait.
void write_standard_output(std::string_view content);

}  // namespace earbudget::files
