#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "desk/desk.hpp"
#include "desk/sounds_fields.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::desk {

/// A form over a file as it is shown.
struct FormState {
    std::vector<KeyField> fields;
    Typed values = {};     ///< that stand in the fields
    Typed elsewhere = {};  ///< what the file holds now, where that was changed meanwhile
    Mistakes mistakes = {};
    /// Of fields that are no keys, where their values stand in a document; null: none are.
    std::function<Places(const files::TomlTable&)> places = nullptr;
};

/// The field of a key, with what is wrong below it in a part of its own, so that the answer to
/// typing leaves the field alone.
[[nodiscard]] std::string key_field(const KeyField& field, const FormState& state);
/// Those whose names begin so, side by side; but not those of a deeper table.
[[nodiscard]] std::string key_fields(const FormState& state, std::string_view begin,
                                     std::string_view look = "fields");
/// A field of its own kind, made as those are.
[[nodiscard]] std::string live_field(const std::string& name, std::string_view label,
                                     const FormState& state, std::string_view hint = {},
                                     std::string_view attributes = {});

/// What unfolds; open where something in it is wrong or `open`.
[[nodiscard]] std::string folded_fields(const FormState& state, std::string_view begin,
                                        std::string_view summary, const std::string& fields,
                                        bool open = false);

/// What came of reading: mistakes that belong to no field, and how many there are; a part.
[[nodiscard]] std::string outcome_part(const FormState& state, std::string_view well);

/// A form with fields over a file that is checked as one types. "Check" stands first, so that the
/// Enter key saves nothing.
[[nodiscard]] std::string checked_form(const Asked& asked, std::string_view action,
                                       const std::string& fields, std::string_view save);

/// Whether the form asks to be saved, and not to be checked alone.
[[nodiscard]] bool is_to_save(const Asked& asked);

/// Reads a text in the place of a file, and the plans that use it, and files what is wrong. True
/// when nothing is.
[[nodiscard]] bool reads_well(const Opened& desk, const std::string& path, const std::string& text,
                              const std::vector<std::string>& plans, FormState& state,
                              const std::function<void(files::TextInputs&)>& read);

/// Puts a text into the place of a file whose hash is still this one; with an empty one, where no
/// file is. False where it was changed meanwhile.
[[nodiscard]] bool save_text(const Opened& desk, const std::string& path, const std::string& text,
                             const std::string& hash);

/// Why a file is saved no longer as it was shown.
inline constexpr std::string_view changed_meanwhile =
    "The file was changed since this page was made. Nothing was saved and nothing that you typed "
    "is lost: where a field says what the file holds now, decide which of the two holds, and save "
    "again.";

}  // namespace earbudget::desk
