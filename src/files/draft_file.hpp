#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include <sys/stat.h>

#include "files/output.hpp"

namespace earbudget::files {

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
    [[nodiscard]] std::string free_name(int file) const;
    [[nodiscard]] bool appear();
    void replace(bool keeps_earlier);
    void exchange(const struct stat& earlier);
    void keep_by_link_or_copy();
    void refuse_existing() const;

    std::string place_;
    std::optional<std::string> name_;  ///< of the draft, or of the earlier file; none: nameless
    std::string earlier_;              ///< where that is, when it could not be put back
    int file_ = -1;
    Stands stands_ = Stands::Nowhere;
    std::optional<InterruptsWait> waiting_;
};

}  // namespace earbudget::files
