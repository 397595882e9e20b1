#pragma once

#include <string>
#include <string_view>

namespace earbudget::files {

/// Writes a file whole or not at all: beside its place first, then moved there, so that an earlier
/// file stays intact until the new one is complete. An existing file is replaced only with `force`.
/// Throws InputError for an existing file and for a place that cannot be written to, and
/// std::system_error for a fault of the machine (disk full).
void write_file(const std::string& path, std::string_view content, bool force);

/// Refuses at once what write_file would refuse because the file exists, before anything is
/// computed. Throws InputError.
void check_can_write(const std::string& path, bool force);

/// Writes to standard output and flushes it. Throws std::system_error when that fails.
void write_standard_output(std::string_view content);

}  // namespace earbudget::files
