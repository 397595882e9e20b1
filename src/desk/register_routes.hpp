#pragma once

#include "desk/desk.hpp"

namespace earbudget::desk {

// The pages about the register, one function a page.

[[nodiscard]] Reply register_home(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_due(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_person(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_session(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_staff(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_study(const Opened& desk, const Asked& asked, const Parts& parts);
/// Totals, reports and a person's copy as files.
[[nodiscard]] Reply register_download(const Opened& desk, const Asked& asked, const Parts& parts);
/// A backup as a file.
[[nodiscard]] Reply register_copy(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_backup_made(const Opened& desk, const Asked& asked,
                                         const Parts& parts);
/// What erasing does, and the form that asks for the code once more.
[[nodiscard]] Reply register_erasing(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_job(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_job_file(const Opened& desk, const Asked& asked, const Parts& parts);

[[nodiscard]] Reply register_correct(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_link(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_verify(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_backup(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply register_erase(const Opened& desk, const Asked& asked, const Parts& parts);

}  // namespace earbudget::desk
