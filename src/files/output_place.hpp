#pragma once

#include <set>
#include <string>
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

}  // namespace earbudget::files
