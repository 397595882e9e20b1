#pragma once

#include <fstream>
#include <optional>
#include <string>
#include <string_view>

#include "serving/exchange.hpp"
#include "serving/multipart.hpp"
#include "serving/scratch_folder.hpp"

namespace earbudget::serving {

/// So many bytes a form may have, and the files that come with one. Own choices: a plan of 2,000
/// rows; an hour of two channels of 24 bit.
inline constexpr std::size_t most_form_bytes = std::size_t{2} << 20U;
inline constexpr std::size_t most_upload_bytes = std::size_t{1} << 30U;

/// The body of a POST, read into what is asked as it arrives; files go to the disk, into a folder
/// that goes with this. It is a form (application/x-www-form-urlencoded), a form with files
/// (multipart/form-data), or a file by itself (application/octet-stream) with the form's fields in
/// the address.
class Body : private PartSink {
  public:
    enum class Trouble { None, TooLarge, NotUnderstood, NoRoom };

    Body(std::string_view content_type, Asked& asked);

    /// False once there is trouble: nothing more needs to be read.
    [[nodiscard]] bool take(std::string_view data);
    /// All is there. False where it is not whole after all.
    [[nodiscard]] bool finish();
    [[nodiscard]] Trouble trouble() const { return trouble_; }

  private:
    bool begin_part(std::string name, bool is_file, std::string file_name) override;
    bool take_part(std::string_view data) override;
    bool end_part() override;
    bool fails(Trouble trouble);
    bool count(std::size_t& bytes, std::size_t more, std::size_t most);

    static constexpr std::size_t most_files = 50;  // own choice

    Asked& asked_;
    Trouble trouble_ = Trouble::None;
    std::optional<ScratchFolder> folder_ = std::nullopt;
    bool in_file_ = false;
    std::string name_ = {}, text_ = {};
    std::size_t form_bytes_ = 0, file_bytes_ = 0;
    std::ofstream file_ = {};
    std::optional<MultipartReader> parts_ = std::nullopt;
};

}  // namespace earbudget::serving
