#pragma once

#include <optional>
#include <string>
#include <string_view>

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

/// A file to be: written out on the file system of its place, and gone unless it is moved there.
///
/// Where the file system allows it the draft has no name, and nothing is left of it even when the
/// process is killed; but for the moment in which it is about to replace an earlier file, when it
/// is whole. Elsewhere it has a name beside its place, and interrupts wait while it has.
class DraftFile {
  public:
    /// Writes all of `content` and has it stored. Throws InputError where nothing can be written,
    /// std::system_error for a fault of the machine (disk full).
    DraftFile(std::string place, std::string_view content);
    DraftFile(const DraftFile&) = delete;
    DraftFile& operator=(const DraftFile&) = delete;
    ~DraftFile();

    /// In one step: whoever opens the place finds the earlier file or all of this one. Without
    /// `force` an existing file is refused, whoever made it meanwhile (InputError).
    void move_to_place(bool force);

  private:
    [[nodiscard]] std::string path_of_nameless() const;
    [[nodiscard]] bool open_nameless();
    void open_named();
    [[nodiscard]] std::string free_name();
    void refuse_existing() const;

    std::string place_;
    std::optional<std::string> name_;  ///< none: nameless
    int file_ = -1;
    std::optional<InterruptsWait> waiting_;
};

}  // namespace earbudget::files
