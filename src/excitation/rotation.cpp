#include "earbudget/excitation/rotation.hpp"

#include <cmath>

namespace earbudget {

namespace {

constexpr double largest_error_of_a_matrix = 1e-3;  // own choice

double product(const AxisVector& a, const AxisVector& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

AxisVector cross(const AxisVector& a, const AxisVector& b) {
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

}  // namespace

Rotation Rotation::by_quaternion(const std::array<double, 4>& q) {
    // Scaled first: squares of what is very large or small would be no numbers.
    double largest = 0.0;
    for (const double part : q)
        largest = std::max(largest, std::abs(part));
    std::array<double, 4> unit = q;
    double length = 0.0;
    for (double& part : unit) {
        part /= largest;
        length += part * part;
    }
    for (double& part : unit)
        part /= std::sqrt(length);
    const auto [w, x, y, z] = unit;
    Rotation rotation;
    rotation.rows_ = {{{1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)},
                       {2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)},
                       {2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)}}};
    return rotation;
}

Rotation Rotation::about(const AxisVector& axis, double angle) {
    const double length = std::hypot(axis[0], axis[1], axis[2]);
    const double sine = std::sin(angle / 2) / length;
    return by_quaternion({std::cos(angle / 2), sine * axis[0], sine * axis[1], sine * axis[2]});
}

std::optional<Rotation> Rotation::by_matrix(const std::array<double, 9>& rows) {
    Rotation rotation;
    for (std::size_t i = 0; i < 9; ++i)
        rotation.rows_[i / 3][i % 3] = rows[i];
    const auto& [x, y, z] = rotation.rows_;
    const AxisVector third = cross(x, y);
    const auto is = [](double value, double wanted) {
        return std::abs(value - wanted) <= largest_error_of_a_matrix;  // false for NaN
    };
    if (!is(product(x, x), 1) || !is(product(y, y), 1) || !is(product(x, y), 0)) return {};
    for (std::size_t i = 0; i < 3; ++i) {
        if (!is(z[i], third[i])) return {};
    }
    return rotation;
}

AxisVector Rotation::operator()(const AxisVector& vector) const {
    return {product(rows_[0], vector), product(rows_[1], vector), product(rows_[2], vector)};
}

Rotation Rotation::after(const Rotation& other) const {
    Rotation both;
    for (std::size_t row = 0; row < 3; ++row) {
        for (std::size_t column = 0; column < 3; ++column) {
            both.rows_[row][column] = rows_[row][0] * other.rows_[0][column] +
                                      rows_[row][1] * other.rows_[1][column] +
                                      rows_[row][2] * other.rows_[2][column];
        }
    }
    return both;
}

std::optional<GradientPiece> TurnedWaveform::next() {
    auto piece = source_->next();
    if (piece && piece->may_turn) {
        piece->from = rotation_(piece->from);
        piece->to = rotation_(piece->to);
    }
    return piece;
}

}  // namespace earbudget
