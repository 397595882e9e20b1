#include "serving/body.hpp"

#include <fstream>

#include <fmt/format.h>

#include "serving/server.hpp"

namespace earbudget::serving {

namespace {

/// Takes the parts of a body as they arrive, fields into the form and files to the disk.
class Parts {
  public:
    Parts(Asked& asked, Body& body) : asked_(asked), body_(body) {}

    bool begin_field(std::string name) {
        close();
        if (asked_.form.fields().size() + asked_.uploads.size() >= Form::most_fields)
            return too_large();
        name_ = std::move(name);
        in_field_ = true;
        return true;
    }

    bool begin_file(std::string field, std::string name) {
        close();
        if (asked_.uploads.size() >= most_files) return too_large();
        if (!body_.folder) body_.folder.emplace();
        // The browser's name is never a path: files are numbered.
        const auto path = body_.folder->path() / fmt::format("file-{}", asked_.uploads.size());
        asked_.uploads.push_back({std::move(field), std::move(name), path, 0});
        file_.open(path, std::ios::binary);
        return file_.good();
    }

    bool take(const char* data, std::size_t size) {
        if (!in_field_) {
            Upload& upload = asked_.uploads.back();
            upload.bytes += size;
            file_.write(data, static_cast<std::streamsize>(size));
            return file_.good();
        }
        form_bytes_ += size;
        if (form_bytes_ > most_form_bytes) return too_large();
        value_.append(data, size);
        return true;
    }

    void close() {
        if (in_field_) asked_.form.add(std::exchange(name_, {}), std::exchange(value_, {}));
        in_field_ = false;
        if (file_.is_open()) file_.close();
        // A file that nobody chose comes without a name and without a byte.
        if (!asked_.uploads.empty() && asked_.uploads.back().name.empty() &&
            asked_.uploads.back().bytes == 0)
            asked_.uploads.pop_back();
    }

  private:
    static constexpr std::size_t most_files = 50;

    bool too_large() {
        body_.too_large = true;
        return false;
    }

    Asked& asked_;
    Body& body_;
    bool in_field_ = false;
    std::string name_ = {}, value_ = {};
    std::size_t form_bytes_ = 0;
    std::ofstream file_ = {};
};

}  // namespace

Body read_body(const httplib::Request& request, const httplib::ContentReader& reader,
               Asked& asked) {
    Body body;
    Parts parts(asked, body);
    bool whole = false;
    if (request.is_multipart_form_data()) {
        whole = reader(
            [&](const httplib::MultipartFormData& part) {
                return part.filename.empty() && part.content_type.empty()
                           ? parts.begin_field(part.name)
                           : parts.begin_file(part.name, part.filename);
            },
            [&](const char* data, std::size_t size) { return parts.take(data, size); });
        parts.close();
    } else if (request.get_header_value("Content-Type") == "application/octet-stream") {
        asked.form = asked.query;
        whole = parts.begin_file("file", asked.query.get("name")) &&
                reader([&](const char* data, std::size_t size) { return parts.take(data, size); });
        parts.close();
    } else {
        std::string text;
        whole = reader([&](const char* data, std::size_t size) {
            body.too_large = text.size() + size > most_form_bytes;
            if (!body.too_large) text.append(data, size);
            return !body.too_large;
        });
        asked.form = Form::of_text(text);
    }
    if (!whole) asked.form = Form();  // without its token nothing is done
    return body;
}

}  // namespace earbudget::serving
