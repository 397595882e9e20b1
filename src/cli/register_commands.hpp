#pragma once

#include <vector>

#include "cli/command_table.hpp"

namespace earbudget::cli {

// earbudget register …: each runs one command and returns the exit status, as in commands.hpp.

[[nodiscard]] ExitStatus run_register_create(const RegisterOptions& options);
[[nodiscard]] ExitStatus run_register_verify(const RegisterOptions& options);
[[nodiscard]] ExitStatus run_register_totals(const RegisterOptions& options);
[[nodiscard]] ExitStatus run_register_report(const RegisterOptions& options);
[[nodiscard]] ExitStatus run_register_link(const RegisterOptions& options);
[[nodiscard]] ExitStatus run_register_backup(const RegisterOptions& options);
[[nodiscard]] ExitStatus run_register_export(const RegisterOptions& options);
[[nodiscard]] ExitStatus run_register_erase(const RegisterOptions& options);
[[nodiscard]] ExitStatus run_register_due(const RegisterOptions& options);
[[nodiscard]] ExitStatus run_register_import(const RegisterOptions& options);

/// The rows of these commands, whose values go into `told`.
[[nodiscard]] std::vector<CommandDescription> register_rows(RegisterOptions& told);

}  // namespace earbudget::cli
