#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace earbudget::serving {

/// Where the parts of a form with files go as they arrive. What returns false ends the reading.
class PartSink {
  public:
    virtual ~PartSink() = default;
    /// `is_file`: with a name of a file, which may be empty.
    virtual bool begin_part(std::string name, bool is_file, std::string file_name) = 0;
    virtual bool take_part(std::string_view data) = 0;
    virtual bool end_part() = 0;
};

/// Reads multipart/form-data (RFC 7578) piece by piece, whatever the pieces are: in memory it keeps
/// no more than a part's head.
class MultipartReader {
  public:
    MultipartReader(std::string_view boundary, PartSink& sink)
        : delimiter_("\r\n--" + std::string(boundary)), sink_(sink) {}

    /// False where this is no such form, or the sink has enough.
    [[nodiscard]] bool take(std::string_view data);
    /// Whether the last boundary has come.
    [[nodiscard]] bool is_whole() const { return at_ == At::End; }

    static constexpr std::size_t longest_head = 4'096;  // own choice

  private:
    enum class At { Boundary, Head, Content, End };
    /// Goes on from `from` of what waits; where it stands still, more is needed.
    [[nodiscard]] bool step(std::size_t& from, bool& stands);
    [[nodiscard]] bool begin(std::string_view head);
    [[nodiscard]] bool content(std::string_view left, std::size_t& from, bool& stands);

    std::string delimiter_;
    PartSink& sink_;
    At at_ = At::Content;
    bool in_part_ = false;
    std::string waiting_ = "\r\n";  ///< the first boundary has no line before it
};

/// The boundary that a Content-Type of multipart/form-data states; empty where it states none that
/// may be (RFC 2046, 5.1.1).
[[nodiscard]] std::string boundary_in(std::string_view content_type);

/// The type alone, in small letters: "multipart/form-data" of "Multipart/Form-Data; boundary=x".
[[nodiscard]] std::string media_type(std::string_view content_type);

}  // namespace earbudget::serving
