#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bids/scan_name.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/error_list.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::bids {

/// A value of a sidecar, of those kinds that are asked for.
struct MetadataValue {
    std::vector<double> numbers = {};     ///< of a number, or of an array of numbers alone
    std::vector<std::string> texts = {};  ///< of a text, or of an array of texts alone
    bool is_array = false;
    std::string file = {};  ///< where it stands
};

/// What the sidecars that apply to an image say of it, the nearer ones before the others.
class Metadata {
  public:
    [[nodiscard]] bool empty() const { return values_.empty(); }
    [[nodiscard]] const MetadataValue* find(std::string_view key) const;
    /// A text, or the first of several; empty where there is none.
    [[nodiscard]] std::string text(std::string_view key) const;
    [[nodiscard]] bool has_text(std::string_view key, std::string_view text) const;

    /// Takes over what a sidecar says, in the place of what was said before.
    void override_with(const std::map<std::string, MetadataValue, std::less<>>& sidecar);

  private:
    std::map<std::string, MetadataValue, std::less<>> values_;
};

/// The sidecars of a run of the program, each read once.
class Sidecars {
  public:
    Sidecars(files::TextInputs& inputs, files::ErrorList& errors)
        : inputs_(&inputs), errors_(&errors) {}

    using Values = std::map<std::string, MetadataValue, std::less<>>;

    /// What a JSON file says; empty where it cannot be read, which is in the list of errors.
    [[nodiscard]] const Values& values_of(const std::string& path);

    /// A number of an image's metadata, within a range; none where it is absent, or wrong, which is
    /// in the list of errors.
    [[nodiscard]] std::optional<double> number(const Metadata& metadata, std::string_view key,
                                               double lowest, double highest,
                                               std::string_view unit);
    /// The same of an array of numbers.
    [[nodiscard]] std::optional<std::vector<double>> numbers(const Metadata& metadata,
                                                             std::string_view key, double lowest,
                                                             double highest, std::string_view unit);
    /// Where a key stands.
    [[nodiscard]] SourcePosition position_of(const MetadataValue& value, std::string_view key);
    [[nodiscard]] files::ErrorList& errors() const { return *errors_; }
    [[nodiscard]] files::TextInputs& inputs() const { return *inputs_; }

  private:
    [[nodiscard]] Values read(const std::string& path);

    files::TextInputs* inputs_;
    files::ErrorList* errors_;
    std::map<std::string, Values> read_;
};

}  // namespace earbudget::bids
