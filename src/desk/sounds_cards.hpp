#pragma once

#include <optional>
#include <string>
#include <vector>

#include "desk/desk.hpp"
#include "desk/sounds_form.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget::desk {

/// A card in the making: a text, what is typed over it, and what it reads as.
struct CardDraft {
    FormState state;
    std::string text = {};                        ///< with what was typed
    std::size_t changes = 0;                      ///< keys whose value is another
    std::optional<Sequence> card = std::nullopt;  ///< where it reads without mistakes
};

/// The fields of a card; with its id where it is new.
[[nodiscard]] std::vector<KeyField> card_fields(bool with_id);

/// Reads what is typed over a text that is to stand at `path`; without a form as it is.
[[nodiscard]] CardDraft card_draft(const Opened& desk, const std::string& path,
                                   const std::string& base, const Form* form, bool with_id,
                                   const std::vector<std::string>& plans = {});

/// The fields of a card in their groups. `folded`: what most do not have stays folded.
[[nodiscard]] std::string card_fieldsets(const FormState& state);

/// A part with the levels and bands of a draft; empty where it cannot be read.
[[nodiscard]] std::string draft_levels(const CardDraft& draft);

/// Where a new card goes, chosen in the form as "folder" and named by its id; a mistake of the
/// draft where the id is taken there or cannot be one.
[[nodiscard]] std::string new_card_path(const Opened& desk, const Form& form, CardDraft& draft);

/// The choice of that folder.
[[nodiscard]] std::string folder_choice(const Opened& desk, const Form& form);

/// Writes a card that reads without mistakes, as every new card is written, and leads to its page.
[[nodiscard]] Reply save_new_card(const Opened& desk, const Sequence& card,
                                  const std::string& path);

// Pages, for the table of them in sounds_pages.cpp.
[[nodiscard]] Reply card_page(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply new_card_page(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply protector_page(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply new_protector_page(const Opened& desk, const Asked& asked, const Parts& parts);

}  // namespace earbudget::desk
