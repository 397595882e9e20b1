#pragma once

#include <functional>
#include <memory>
#include <new>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <sys/stat.h>

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

/// While drafts have names a failing allocation is an exception, which takes them away, and does not
/// end the program where it happens.
class AllocationsThrow {
  public:
    AllocationsThrow() : before_(std::set_new_handler(nullptr)) {}
    AllocationsThrow(const AllocationsThrow&) = delete;
    AllocationsThrow& operator=(const AllocationsThrow&) = delete;
    ~AllocationsThrow() { std::set_new_handler(before_); }

  private:
    std::new_handler before_;
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
    void move_one(std::size_t n);
    [[nodiscard]] std::string left_behind_by_putting_back(std::size_t moved);

    AllocationsThrow allocations_throw_;
    std::vector<std::unique_ptr<DraftFile>> drafts_;
    bool force_;
};

/// Writes to standard output. Throws std::system_error when that fails, Interrupted when the
/// program is interrupted while drafts wait.
void write_standard_output(std::string_view content);

/// Gives an open draft the permissions of the file that it is going to replace, its access control
/// list and, where this user may, its owner and group. Nobody gets to read or write the new file
/// who could not read or write the earlier one; where the group cannot be kept, it gets no more
/// than everybody has.
void keep_permissions(int draft, const std::string& place, const struct stat& earlier);

/// Makes something under a hidden name beside a place that nobody has, short, since the place's own
/// may be as long as names can be. `make` gets a name and says whether that was free, else errno
/// does. Empty, with errno, where nothing could be made.
[[nodiscard]] std::string make_beside(const std::string& place,
                                      const std::function<bool(const char*)>& make);

/// Puts the file `draft` into a place where `earlier` stands, in one step: whoever opens the place
/// finds one or the other. Returns the name beside it under which the earlier file is kept.
/// Throws InputError where something else came there meanwhile, or the system refuses it; nothing
/// is changed then.
[[nodiscard]] std::string replace_and_keep(const std::string& draft, const std::string& place,
                                           const struct stat& earlier);

/// A file to be: written out on the file system of its place, and gone unless it is moved there.
///
/// Where the file system allows it the draft has no name, and nothing is left of it even when the
/// process is killed; but for the moment in which it is about to replace an earlier file, when it
/// is whole. Elsewhere it has a name beside its place, and interrupts wait while it has. Until it
/// is moved nobody but its owner can read it.
class DraftFile {
  public:
    /// Writes all of `content` and has it stored. Throws InputError where nothing can be written,
    /// std::system_error for a fault of the machine (disk full).
    DraftFile(std::string place, std::string_view content);
    DraftFile(const DraftFile&) = delete;
    DraftFile& operator=(const DraftFile&) = delete;
    ~DraftFile();

    /// In one step: whoever opens the place finds the earlier file or all of this one. Without
    /// `force` an existing file is refused, whoever made it meanwhile (InputError); with it a
    /// regular file is replaced, which keeps its permissions, and anything else refused.
    /// With `keeps_earlier` that can be taken back until this object ends.
    void move_to_place(bool force, bool keeps_earlier);

    /// Takes the move back: what stood at the place stands there again, or nothing. False where the
    /// system refuses that; the earlier file is then left under earlier().
    [[nodiscard]] bool put_back();

    /// Whether it is this draft that is found under a name.
    [[nodiscard]] bool stands_at(const std::string& place) const;

    [[nodiscard]] const std::string& place() const { return place_; }
    [[nodiscard]] const std::string& earlier() const { return earlier_; }

  private:
    enum class Stands { Nowhere, WhereNothingStood, ForAnother };

    [[nodiscard]] std::string path_of_nameless() const;
    [[nodiscard]] bool open_nameless();
    void open_named();
    [[nodiscard]] bool appear();
    void replace(bool keeps_earlier);
    void refuse_existing() const;

    std::string place_;
    std::optional<std::string> name_;  ///< of the draft, or of the earlier file; none: nameless
    std::string earlier_;              ///< where that is, when it could not be put back
    int file_ = -1;
    Stands stands_ = Stands::Nowhere;
    std::optional<InterruptsWait> waiting_;
};

}  // namespace earbudget::files
