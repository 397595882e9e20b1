#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace earbudget::files {

/// A file to be written.
struct OutputFile {
    std::string path;
    std::string content;
};

/// Writes files whole or not at all, and none before all are stored: an earlier file stays intact
/// until the new one is complete. An existing file is replaced only with `force`.
/// Throws InputError for an existing file and for a place that cannot be written to, and
/// std::system_error for a fault of the machine (disk full).
void write_files(const std::vector<OutputFile>& files, bool force);

/// Refuses at once what write_files would refuse, before anything is computed: a file that exists,
/// a folder that does not or cannot be written to. Throws InputError.
void check_can_write(const std::string& path, bool force);

/// Refuses to write over one of the files that were read, whatever its name. Throws InputError.
void check_is_no_input(const std::string& path, const std::vector<std::string>& inputs);

/// Writes to standard output. Throws std::system_error when that fails.
void write_standard_output(std::string_view content);

}  // namespace earbudget::files
