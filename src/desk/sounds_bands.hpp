#pragma once

#include <string>
#include <vector>

#include "desk/sounds_form.hpp"

namespace earbudget::desk {

// The attenuation of a protector by band, three arrays in a file, as two fields a band.

/// What a protector states, as fields show it.
void show_bands(const files::TomlTable& document, const editing::Path& protector, Typed& values);
/// What was typed.
void take_bands(const Form& form, Typed& values);
/// The changes; what is no number and what stands alone becomes a mistake at its field.
[[nodiscard]] std::vector<editing::Edit> band_edits(const Typed& shown,
                                                    const editing::Path& protector,
                                                    FormState& state);
/// Where the numbers of each field stand.
[[nodiscard]] Places band_places(const files::TomlTable& document, const editing::Path& protector);

[[nodiscard]] std::string band_fields(const FormState& state);

}  // namespace earbudget::desk
