#include "files/sound_encoding.hpp"

#include <cmath>

#include <sndfile.h>

#include "earbudget/measurement/findings/steadiness.hpp"

namespace earbudget::files {

namespace {

std::optional<Quantization> linear(int bits) {
    const double step = std::ldexp(1.0, 1 - bits);
    return Quantization{1.0 - step, step};
}

}  // namespace

std::optional<Quantization> quantization_of(int format) {
    switch (format & SF_FORMAT_SUBMASK) {
        case SF_FORMAT_PCM_S8:
        case SF_FORMAT_PCM_U8:
            return linear(8);
        case SF_FORMAT_PCM_16:
        case SF_FORMAT_ALAC_16:
            return linear(16);
        case SF_FORMAT_ALAC_20:
            return linear(20);
        case SF_FORMAT_PCM_24:
        case SF_FORMAT_ALAC_24:
        // No converter delivers more than 24 bits: 32 are a container.
        case SF_FORMAT_PCM_32:
        case SF_FORMAT_ALAC_32:
            return linear(24);
        // ITU-T G.711, tables 1a and 2a: largest decoded values 4032/4096 and 8031/8192, and their
        // distance from the next (memory; libsndfile decodes 32256 and 32124 of 32768).
        case SF_FORMAT_ALAW:
            return Quantization{32256.0 / 32768.0, 1024.0 / 32768.0};
        case SF_FORMAT_ULAW:
            return Quantization{32124.0 / 32768.0, 1024.0 / 32768.0};
        default:
            return std::nullopt;
    }
}

std::optional<LevelDifference> loss_of(int format) {
    switch (format & SF_FORMAT_SUBMASK) {
        case SF_FORMAT_PCM_S8:
        case SF_FORMAT_PCM_U8:
        case SF_FORMAT_PCM_16:
        case SF_FORMAT_PCM_24:
        case SF_FORMAT_PCM_32:
        case SF_FORMAT_FLOAT:
        case SF_FORMAT_DOUBLE:
        case SF_FORMAT_ALAC_16:
        case SF_FORMAT_ALAC_20:
        case SF_FORMAT_ALAC_24:
        case SF_FORMAT_ALAC_32:
        case SF_FORMAT_DPCM_8:
        case SF_FORMAT_DPCM_16:
        case SF_FORMAT_DWVW_12:
        case SF_FORMAT_DWVW_16:
        case SF_FORMAT_DWVW_24:
            return std::nullopt;
        case SF_FORMAT_ALAW:
        case SF_FORMAT_ULAW:
            return change_by_companding;
        case SF_FORMAT_IMA_ADPCM:
        case SF_FORMAT_MS_ADPCM:
        case SF_FORMAT_VORBIS:
        case SF_FORMAT_OPUS:
        case SF_FORMAT_MPEG_LAYER_I:
        case SF_FORMAT_MPEG_LAYER_II:
        case SF_FORMAT_MPEG_LAYER_III:
            return change_by_lossy_compression;
        // GSM, NMS ADPCM, G.721, G.723, VOX: made for speech.
        default:
            return change_by_speech_compression;
    }
}

unsigned bytes_of_sample(int format) {
    switch (format & SF_FORMAT_SUBMASK) {
        case SF_FORMAT_PCM_S8:
        case SF_FORMAT_PCM_U8:
        case SF_FORMAT_ALAW:
        case SF_FORMAT_ULAW:
            return 1;
        case SF_FORMAT_PCM_16:
            return 2;
        case SF_FORMAT_PCM_24:
            return 3;
        case SF_FORMAT_PCM_32:
        case SF_FORMAT_FLOAT:
            return 4;
        case SF_FORMAT_DOUBLE:
            return 8;
        default:
            return 0;
    }
}

}  // namespace earbudget::files
