#include "report/record.hpp"

namespace earbudget::report {

std::string_view program_version() { return EARBUDGET_VERSION; }

}  // namespace earbudget::report
