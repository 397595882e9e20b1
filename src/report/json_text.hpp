#pragma once

#include <cstddef>
#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace earbudget::report {

/// A report of more bytes than this helps nobody and fills the memory; own choice.
inline constexpr std::size_t largest_report = std::size_t{128} << 20U;

class ReportTooLarge : public std::runtime_error {
  public:
    ReportTooLarge() : std::runtime_error("the report would be larger than is accepted") {}
};

/// Throws ReportTooLarge beyond that.
inline void check_size(const std::string& report) {
    if (report.size() > largest_report) throw ReportTooLarge();
}

/// The objects that a value stands in: a part of a report may need what is around it, a sequence's
/// id that of the plan.
class Outer {
  public:
    void enter(const void* type, const void* object) { objects_.emplace_back(type, object); }
    void leave() { objects_.pop_back(); }

    /// The innermost object of that type; std::logic_error where there is none.
    template <class T>
    [[nodiscard]] const T& the() const {
        return *static_cast<const T*>(find(&tag_of<T>));
    }

    /// Its address stands for a type.
    template <class T>
    static constexpr char tag_of = 0;

  private:
    [[nodiscard]] const void* find(const void* type) const;

    std::vector<std::pair<const void*, const void*>> objects_ = {};
};

/// JSON as every report is printed, indented by two, written from its beginning to its end: no
/// report stands in memory as a tree. Data stand as they are, but a byte that is no UTF-8 as
/// U+FFFD; characters that are not seen (is_unseen) are escaped (RFC 8259, clause 7; memory), so
/// that a terminal shows them. No number is -0, and one that is none is null. What closes an object
/// throws ReportTooLarge where the text is.
class JsonText {
  public:
    void open_object() { open('{'); }
    void close_object() { close('}'); }
    void open_list() { open('['); }
    void close_list() { close(']'); }

    /// Of the member of an object whose value comes next.
    void key(std::string_view name);

    void null() { add("null"); }
    void boolean(bool value) { add(value ? "true" : "false"); }
    void integer(std::int64_t value) { add(std::to_string(value)); }
    void natural(std::uint64_t value) { add(std::to_string(value)); }
    void number(double value);
    void text(std::string_view value);

    /// All that was written, with a line break at its end.
    [[nodiscard]] std::string take();

    Outer outer = {};  ///< what the value that is written next stands in

  private:
    void open(char bracket);
    void close(char bracket);
    void add(std::string_view value);
    void begin_value();
    void begin_line();

    std::string text_ = {};
    std::size_t depth_ = 0;
    bool is_empty_ = true;   ///< nothing is in the innermost object or list
    bool after_key_ = true;  ///< the value follows on the same line
};

}  // namespace earbudget::report
