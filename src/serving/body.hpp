#pragma once

#include <httplib.h>

#include "serving/exchange.hpp"
#include "serving/scratch_folder.hpp"

namespace earbudget::serving {

/// The body of a POST; files in it lie in a folder that goes with this.
struct Body {
    bool too_large = false;
    std::optional<ScratchFolder> folder = std::nullopt;
};

/// Reads a form, and the files that come with one (multipart/form-data), into what is asked. Files
/// go to the disk as they arrive. A file may also be the body itself, of type
/// application/octet-stream, with the form's fields in the address.
[[nodiscard]] Body read_body(const httplib::Request& request, const httplib::ContentReader& reader,
                             Asked& asked);

}  // namespace earbudget::serving
