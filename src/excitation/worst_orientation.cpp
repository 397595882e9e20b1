#include "excitation/worst_orientation.hpp"

#include <cmath>
#include <numbers>

#include "earbudget/acoustics/units.hpp"

namespace earbudget {

namespace {

/// A-weighted energy as a quadratic form of the nine numbers of a rotation.
using Form = Eigen::Matrix<double, 9, 9>;

Form energy_form(const DrivenSound& driven, const ScannerResponse& response, const Raster& raster,
                 const std::vector<double>& gains) {
    const DriveResponse of_drive = response_of_drive(response, raster);
    const auto& axes = response.axes;
    Form form = Form::Zero();
    for (std::size_t k = 1; k < driven.drives.bins(); ++k) {
        const Eigen::Matrix3cd drives = gains[k] * driven.drives.drives(k);
        for (std::size_t a = 0; a < gradient_axes; ++a) {
            for (std::size_t b = 0; b < gradient_axes; ++b) {
                if (axes[a].time_base != axes[b].time_base) continue;
                const auto h = std::complex<double>(std::conj(of_drive[a][k]) * of_drive[b][k]);
                if (h == 0.0) continue;
                form.block<3, 3>(3 * static_cast<Eigen::Index>(a),
                                 3 * static_cast<Eigen::Index>(b)) += (h * drives).real();
            }
        }
    }
    return form;
}

double energy_at(const Form& form, const Rotation& rotation) {
    Eigen::Matrix<double, 9, 1> numbers;
    for (std::size_t n = 0; n < 9; ++n)
        numbers(static_cast<Eigen::Index>(n)) = rotation.rows()[n / 3][n % 3];
    return numbers.dot(form * numbers);
}

Rotation by_angles(double a, double b, double c) {
    return Rotation::about({0, 0, 1}, a)
        .after(Rotation::about({0, 1, 0}, b).after(Rotation::about({0, 0, 1}, c)));
}

struct Best {
    Rotation rotation;
    double energy = 0.0;

    void take(const Form& form, const Rotation& other) {
        const double at_other = energy_at(form, other);
        if (at_other <= energy) return;
        energy = at_other;
        rotation = other;
    }
};

Best loudest(const Form& form) {
    constexpr double step = std::numbers::pi / 18.0;
    Best best;
    best.take(form, Rotation());
    for (int a = 0; a < 36; ++a) {
        for (int b = 0; b <= 18; ++b) {
            for (int c = 0; c < 36; ++c)
                best.take(form, by_angles(a * step, b * step, c * step));
        }
    }
    for (double turn = step / 2.0; turn > 1e-3; turn /= 2.0) {
        for (int round = 0; round < 4; ++round) {
            const Rotation here = best.rotation;
            for (const AxisVector& axis :
                 {AxisVector{1, 0, 0}, AxisVector{0, 1, 0}, AxisVector{0, 0, 1}}) {
                best.take(form, Rotation::about(axis, turn).after(here));
                best.take(form, Rotation::about(axis, -turn).after(here));
            }
        }
    }
    return best;
}

}  // namespace

std::optional<WorstOrientation> worst_orientation(const DrivenSound& driven,
                                                  const ScannerResponse& response,
                                                  const Raster& raster,
                                                  const std::vector<double>& gains) {
    const Best best = loudest(energy_form(driven, response, raster, gains));
    if (best.energy <= 0.0) return std::nullopt;
    const double mean_square =
        2.0 * best.energy /
        (static_cast<double>(raster.length) * raster.rate * driven.duration.count());
    return WorstOrientation{best.rotation,
                            level_of<quantity::AWeighted>(Pressure(std::sqrt(mean_square)))};
}

}  // namespace earbudget
