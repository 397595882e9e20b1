#include "earbudget/measurement/findings/finding.hpp"

namespace earbudget {

std::string_view name_of(QualityCode code) {
    switch (code) {
        case QualityCode::Clipped:
            return "clipped";
        case QualityCode::NearNoiseFloor:
            return "near-noise-floor";
        case QualityCode::LevelOutOfRange:
            return "level-out-of-range";
        case QualityCode::BackgroundTooClose:
            return "background-too-close";
        case QualityCode::Drift:
            return "drift";
        case QualityCode::TooShort:
            return "too-short";
        case QualityCode::NotSteady:
            return "not-steady";
        case QualityCode::CalibrationNotATone:
            return "calibration-not-a-tone";
        case QualityCode::BandAboveNyquist:
            return "band-above-nyquist";
        case QualityCode::Dropout:
            return "dropout";
        case QualityCode::ConstantOffset:
            return "constant-offset";
        case QualityCode::Interference:
            return "interference";
        case QualityCode::NoPumpRhythm:
            return "no-pump-rhythm";
        case QualityCode::UnusualCalibrator:
            return "unusual-calibrator";
        case QualityCode::DataBeyondTheHeader:
            return "data-beyond-the-header";
        case QualityCode::Lossy:
            return "lossy";
    }
    return "";
}

}  // namespace earbudget
