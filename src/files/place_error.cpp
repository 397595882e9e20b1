#include "files/place_error.hpp"

#include <cerrno>
#include <system_error>

#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "files/machine_fault.hpp"

namespace earbudget::files {

void fail_to_write(const std::string& place) {
    const int error = errno;
    throw std::system_error(error, std::generic_category(),
                            fmt::format("cannot write \"{}\"", place));
}

void refuse_place(const std::string& place, const std::string& or_else) {
    const int error = errno;
    if (is_machine_fault(error)) {
        errno = error;
        fail_to_write(place);
    }
    throw InputError({place}, fmt::format("cannot write here: {}; accepted: a place that can be "
                                          "written to{}",
                                          std::generic_category().message(error), or_else));
}

}  // namespace earbudget::files
