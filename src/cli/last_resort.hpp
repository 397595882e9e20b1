#pragma once

namespace earbudget::cli {

/// Where nothing can be allocated any more no exception is of use: it may be thrown where none may
/// pass, or while another is handled. From here on the program ends with one fixed line and the
/// status for a fault at the first allocation of C++ that fails, and where it would be aborted for
/// an exception that nobody catches. Files that are being written have handlers of their own.
void install_last_resorts();

/// Writes the fixed line for a want of memory, without allocating any.
void say_no_memory();

}  // namespace earbudget::cli
