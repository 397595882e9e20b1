#include "serving/body.hpp"

#include <utility>

#include <fmt/format.h>

namespace earbudget::serving {

Body::Body(std::string_view content_type, Asked& asked) : asked_(asked) {
    const std::string type = media_type(content_type);
    if (type == "multipart/form-data") {
        const std::string boundary = boundary_in(content_type);
        if (boundary.empty()) {
            fails(Trouble::NotUnderstood);
        } else {
            parts_.emplace(boundary, static_cast<PartSink&>(*this));
        }
    } else if (type == "application/octet-stream") {
        asked_.form = asked_.query;
        begin_part("file", true, asked_.query.get("name"));
    } else if (!type.empty() && type != "application/x-www-form-urlencoded") {
        fails(Trouble::NotUnderstood);
    }
}

bool Body::take(std::string_view data) {
    if (trouble_ != Trouble::None) return false;
    if (parts_) return parts_->take(data) || fails(Trouble::NotUnderstood);
    return take_part(data);
}

bool Body::finish() {
    if (trouble_ != Trouble::None) return false;
    if (parts_) return parts_->is_whole() || fails(Trouble::NotUnderstood);
    if (in_file_) return end_part();
    asked_.form = Form::of_text(std::exchange(text_, {}));
    return true;
}

bool Body::begin_part(std::string name, bool is_file, std::string file_name) {
    if (asked_.form.fields().size() + asked_.uploads.size() >= Form::most_fields ||
        !count(form_bytes_, name.size() + file_name.size(), most_form_bytes))
        return fails(Trouble::TooLarge);
    in_file_ = is_file;
    if (!is_file) {
        name_ = std::move(name);
        return true;
    }
    if (asked_.uploads.size() >= most_files) return fails(Trouble::TooLarge);
    if (!folder_) folder_.emplace();
    // The browser's name is never a path: files are numbered.
    const auto path = folder_->path() / fmt::format("file-{}", asked_.uploads.size());
    asked_.uploads.push_back({std::move(name), std::move(file_name), path, 0});
    file_.open(path, std::ios::binary | std::ios::trunc);
    return file_.good() || fails(Trouble::NoRoom);
}

bool Body::take_part(std::string_view data) {
    if (!in_file_) {
        text_ += data;
        return count(form_bytes_, data.size(), most_form_bytes);
    }
    asked_.uploads.back().bytes += data.size();
    if (!count(file_bytes_, data.size(), most_upload_bytes)) return false;
    file_.write(data.data(), static_cast<std::streamsize>(data.size()));
    return file_.good() || fails(Trouble::NoRoom);
}

bool Body::end_part() {
    if (!in_file_) {
        asked_.form.add(std::exchange(name_, {}), std::exchange(text_, {}));
        return true;
    }
    in_file_ = false;
    file_.close();
    if (file_.fail()) return fails(Trouble::NoRoom);
    // A field for a file in which nobody chose one comes without a name and without a byte.
    if (asked_.uploads.back().name.empty() && asked_.uploads.back().bytes == 0)
        asked_.uploads.pop_back();
    return true;
}

bool Body::count(std::size_t& bytes, std::size_t more, std::size_t most) {
    bytes += more;
    return bytes <= most || fails(Trouble::TooLarge);
}

bool Body::fails(Trouble trouble) {
    // The first is told: what reads goes on to say that it was not understood.
    if (trouble_ == Trouble::None) trouble_ = trouble;
    return false;
}

}  // namespace earbudget::serving
