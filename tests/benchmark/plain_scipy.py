"""The levels of a recording, as a plain script with SciPy works them out: plain_scipy.py FILE"""

import json
import sys

import numpy as np
from scipy import signal
from scipy.io import wavfile

FULL_SCALE_DB = 120.0  # level of a full-scale sine, whose mean square is 0.5

# IEC 61672-1, annex E.
F1, F2, F3, F4 = 20.598997, 107.65265, 737.86223, 12194.217
FAST_S = 0.125


def weighting(name, rate):
    frequencies = [F1, F1, F4, F4] if name == "C" else [F1, F1, F2, F3, F4, F4]
    poles = -2 * np.pi * np.array(frequencies)
    zeros = np.zeros(2 if name == "C" else 4)
    _, at_1_kHz = signal.freqs_zpk(zeros, poles, 1.0, worN=[2 * np.pi * 1000.0])
    digital = signal.bilinear_zpk(zeros, poles, 1 / abs(at_1_kHz[0]), rate)
    return signal.zpk2sos(*digital)


def level(mean_square):
    return FULL_SCALE_DB + 10 * np.log10(mean_square / 0.5)


def fast_maximum(weighted, rate):
    decay = np.exp(-1 / (FAST_S * rate))
    return np.max(signal.lfilter([1 - decay], [1, -decay], weighted**2))


def levels_of(samples, rate):
    a = signal.sosfilt(weighting("A", rate), samples)
    c = signal.sosfilt(weighting("C", rate), samples)
    levels = {
        "LAeq_dB": level(np.mean(a**2)),
        "LCeq_dB": level(np.mean(c**2)),
        "LZeq_dB": level(np.mean(samples**2)),
        "LAE_dB": level(np.mean(a**2)) + 10 * np.log10(len(samples) / rate),
        "LCpeak_dB": level(np.max(np.abs(c)) ** 2),
        "LAFmax_dB": level(fast_maximum(a, rate)),
        "octave_dB": {},
    }
    names = ["31.5", "63", "125", "250", "500", "1000", "2000", "4000", "8000", "16000"]
    for n, name in enumerate(names):
        middle = 1000 * 10 ** (0.3 * (n - 5))
        edges = [middle * 10**-0.15, middle * 10**0.15]
        band = signal.butter(3, edges, "bandpass", fs=rate, output="sos")
        levels["octave_dB"][name] = level(np.mean(signal.sosfilt(band, samples) ** 2))
    return levels


def main():
    rate, samples = wavfile.read(sys.argv[1])
    # 24 bits come in the upper part of 32.
    samples = samples / 2.0 ** (8 * samples.dtype.itemsize - 1)
    print(json.dumps(levels_of(samples - np.mean(samples), rate), indent=2))


if __name__ == "__main__":
    main()
