#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/study/card_age.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/error_list.hpp"
#include "files/text_inputs.hpp"
#include "report/document.hpp"
#include "report/record.hpp"
#include "report/shape.hpp"

namespace earbudget::overview {

/// One card of a unit, and what is to be known before it is used once more.
struct ListedCard {
    Sequence card;
    std::string file;
    CardState state = CardState::Current;
    std::vector<std::string> superseded_by = {};  ///< ids
    std::vector<std::string> used_by = {};        ///< files of plans in which somebody hears it
    std::vector<std::string> missing = {};
    std::optional<int> age_days = std::nullopt;  ///< none: no day of the calendar is stated
};

/// A catalogue of protectors of a unit.
struct ListedCatalogue {
    std::string file;
    std::vector<std::string> used_by = {};  ///< files of plans that name it
};

/// Every card of some folders, in the order of their files.
struct CardList {
    std::vector<ListedCard> cards;
    std::vector<ListedCatalogue> catalogues = {};
    std::vector<std::string> files;           ///< that were read
    std::vector<std::string> passed_over;     ///< TOML files that are none of this program's
    std::vector<std::string> responses = {};  ///< files of scanners' responses

    [[nodiscard]] std::size_t number_of(CardState state) const;
};

/// The cards in folders and everything below them, hidden folders left out, and those that the
/// plans found there use, wherever they lie; each once. `day` is today, YYYY-MM-DD. Throws
/// InputErrors for all mistakes of all files.
[[nodiscard]] CardList list_cards(const std::vector<std::string>& folders, const std::string& day,
                                  files::TextInputs& inputs);

/// The same of what can be read, whatever is wrong with the rest, of which the mistakes are listed.
[[nodiscard]] CardList list_cards(const std::vector<std::string>& folders, const std::string& day,
                                  files::TextInputs& inputs, files::ErrorList& errors);

/// What a card does not state of: origin, who, date, position, instrument, uncertainty, LCeq (and
/// no bands to sum), octave, peak.
[[nodiscard]] std::vector<std::string> missing_on(const Sequence& card);

/// The list as JSON, with a line break at its end.
[[nodiscard]] std::string cards_json(const CardList& list, const report::Record& record);
[[nodiscard]] const report::ObjectShape& cards_shape();

/// The same to be read.
[[nodiscard]] report::Document cards_document(const CardList& list,
                                              const std::vector<std::string>& folders,
                                              const report::Record& record);

}  // namespace earbudget::overview
