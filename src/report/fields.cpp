#include "report/fields.hpp"

#include <cmath>

namespace earbudget::report {

std::vector<std::string> Note::texts() const {
    std::vector<std::string> all = names ? names() : std::vector<std::string>();
    for (std::string_view rest = one_of; !rest.empty();) {
        const std::size_t blank = rest.find(' ');
        all.emplace_back(rest.substr(0, blank));
        rest.remove_prefix(blank == rest.npos ? rest.size() : blank + 1);
    }
    return all;
}

double as_noted(double value, const Note& note) {
    if (note.decimals < 0) return value;
    const double factor = std::pow(10.0, note.decimals);
    return std::round(value * factor) / factor;
}

void AnyTable::write(const void* object, JsonText& to) const {
    to.open_object();
    to.outer.enter(type_, object);
    write_rows(object, to);
    to.outer.leave();
    to.close_object();
}

void AnyTable::write_rows(const void* object, JsonText& to) const {
    for (const AnyField& row : rows_)
        row.write(row, object, to);
}

void AnyTable::add_to(ObjectShape& shape) const {
    for (const AnyField& row : rows_) {
        if (row.members) {
            row.members().add_to(shape);
        } else {
            shape.fields.push_back({std::string(row.key), row.shape(), row.note, row.always});
        }
    }
}

ObjectShape AnyTable::shape() const {
    ObjectShape shape{shared_as_, means_, {}};
    add_to(shape);
    return shape;
}

}  // namespace earbudget::report
