#pragma once

#include <cstdint>
#include <optional>
#include <stdexcept>
#include <string>

#include "earbudget/acoustics/units.hpp"

namespace earbudget::bids {

/// What a header of NIfTI-1 or NIfTI-2 says of an image's time.
struct NiftiHeader {
    std::uint64_t volumes = 1;  ///< dim[4]; 1 where the image has no fourth dimension
    /// pixdim[4], where its unit is stated; a check of the sidecar, never used in its place.
    std::optional<Seconds> step = std::nullopt;
};

/// Why a file is no image of these, in words that follow its name.
class NoNifti : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

/// Reads the header of an image, compressed with gzip or not and in either byte order. No more of
/// the file is decompressed than the header. Throws NoNifti, and files::CannotRead where the file
/// cannot be read.
[[nodiscard]] NiftiHeader read_nifti_header(const std::string& path);

}  // namespace earbudget::bids
