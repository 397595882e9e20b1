#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>

namespace earbudget::report {

/// A report of more bytes than this helps nobody and fills the memory; own choice.
inline constexpr std::size_t largest_report = std::size_t{128} << 20U;

class ReportTooLarge : public std::runtime_error {
  public:
    ReportTooLarge() : std::runtime_error("the report would be larger than is accepted") {}
};

/// Throws ReportTooLarge beyond that.
inline void check_size(const std::string& report) {
    if (report.size() > largest_report) throw ReportTooLarge();
}

}  // namespace earbudget::report
