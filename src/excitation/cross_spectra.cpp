#include "earbudget/excitation/cross_spectra.hpp"

#include <cmath>
#include <complex>
#include <numbers>

#include "excitation/segments.hpp"

namespace earbudget {

namespace {

constexpr std::size_t place_of_xy = 4, place_of_xz = 6, place_of_yz = 8, place_of_xp = 10;

std::complex<double> complex_at(const CrossSpectra::Line& line, std::size_t place) {
    return {line[place], line[place + 1]};
}

void put(CrossSpectra::Line& line, std::size_t place, const std::array<double, 2>& value) {
    line[place] = value[0];
    line[place + 1] = value[1];
}

}  // namespace

void CrossSpectra::add_line(std::size_t k, const Line& line) {
    for (std::size_t n = 0; n < line.size(); ++n)
        lines_[k][n] += line[n];
}

void CrossSpectra::add(const SegmentTransform& transform, std::size_t windows) {
    windows_ += static_cast<double>(windows);
    for (std::size_t k = 1; k < bins(); ++k) {
        const SegmentLine at = transform.line<true>(k);
        Line line;
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            line[axis] = power(at.drive[axis]);
            put(line, place_of_xp + 2 * axis, conjugate_product(at.drive[axis], at.pressure));
        }
        line[3] = power(at.pressure);
        put(line, place_of_xy, conjugate_product(at.drive[0], at.drive[1]));
        put(line, place_of_xz, conjugate_product(at.drive[0], at.drive[2]));
        put(line, place_of_yz, conjugate_product(at.drive[1], at.drive[2]));
        add_line(k, line);
    }
}

CrossSpectra& CrossSpectra::operator+=(const CrossSpectra& other) {
    windows_ += other.windows_;
    for (std::size_t k = 0; k < bins(); ++k)
        add_line(k, other.lines_[k]);
    return *this;
}

CrossSpectra& CrossSpectra::operator-=(const CrossSpectra& other) {
    windows_ -= other.windows_;
    for (std::size_t k = 0; k < bins(); ++k) {
        for (std::size_t n = 0; n < lines_[k].size(); ++n)
            lines_[k][n] -= other.lines_[k][n];
    }
    return *this;
}

Eigen::Matrix3cd CrossSpectra::drives(std::size_t k) const {
    const Line& line = lines_[k];
    Eigen::Matrix3cd products = Eigen::Matrix3cd::Zero();
    products.diagonal() << line[0], line[1], line[2];
    products(0, 1) = complex_at(line, place_of_xy);
    products(0, 2) = complex_at(line, place_of_xz);
    products(1, 2) = complex_at(line, place_of_yz);
    products(1, 0) = std::conj(products(0, 1));
    products(2, 0) = std::conj(products(0, 2));
    products(2, 1) = std::conj(products(1, 2));
    return products;
}

Eigen::Vector3cd CrossSpectra::with_pressure(std::size_t k) const {
    const Line& line = lines_[k];
    return {complex_at(line, place_of_xp), complex_at(line, place_of_xp + 2),
            complex_at(line, place_of_xp + 4)};
}

void CrossSpectra::delay_pressure(double samples) {
    for (std::size_t k = 0; k < bins(); ++k) {
        const auto turn = std::polar(1.0, -2.0 * std::numbers::pi * static_cast<double>(k) *
                                              samples / static_cast<double>(length_));
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            const auto turned = turn * complex_at(lines_[k], place_of_xp + 2 * axis);
            put(lines_[k], place_of_xp + 2 * axis, {turned.real(), turned.imag()});
        }
    }
}

}  // namespace earbudget
