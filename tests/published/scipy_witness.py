"""Second witness for what is measured in recordings: NumPy and SciPy instead of the library.

Nothing is shared with the library but the poles printed in IEC 61672-1 and the band edges of
IEC 61260-1. Weightings are the analogue filters applied to the whole signal by one transform;
octave bands are sums over the lines of one transform; peaks come from resampling the whole signal;
the exponential averages F and S take every sample.

Usage: scipy_witness.py MEASURE_WITNESS
"""

import math
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import scipy.fft
import scipy.io.wavfile
import scipy.signal

from witness.recordings import signals

FULL_SCALE_DB = 120.0  # level of a full-scale sine, whose mean square is 0.5

# IEC 61672-1, annex E.
F1, F2, F3, F4 = 20.598997, 107.65265, 737.86223, 12194.217

# The filters are within 0.001 dB of each other. The rest is what the recording does not hold: the
# time before it, which the library has to guess (here it begins with a pulse), and frequencies
# above 0.46 of the sampling rate, where the library stops matching the curve.
WEIGHTED_TOLERANCE = 0.02
# The library's windows smear a line over some 2 Hz: what noise has at a band's edges falls to one
# side or the other by chance, the more so the narrower the band is. Softening this witness's edges
# as much takes most of it away.
EDGE_HALF_WIDTH = 1.5
OCTAVE_TOLERANCE = {"31.5": 0.1, "63": 0.05}
OCTAVE_TOLERANCE_ABOVE = 0.03
# The library's C weighting has the analogue filter's magnitude up to 0.46 of the sampling rate, and
# its phase up to a little less.
PEAK_TOLERANCE = {"LCpeak": 0.08, "LZpeak": 0.02}
# What the first second holds depends on the time before it as well.
FIRST_SECOND_TOLERANCE = 0.04
# The library averages blocks of a millisecond and sorts F levels into classes of 0.05 dB.
TIME_WEIGHTED_TOLERANCE = 0.05

# Between 0.45 and 0.5 of the sampling rate peaks cannot be told from samples; and the cut ends of
# brown noise are a step, which splashes into all bands of one long transform.
NOT_COMPARED = {("full band", "Cpeak"), ("full band", "Zpeak"), ("brown", "octave")}


def weighting_poles(name):
    w1, w2, w3, w4 = (2 * math.pi * f for f in (F1, F2, F3, F4))
    if name == "C":
        return [0, 0], [-w1, -w1, -w4, -w4]
    return [0, 0, 0, 0], [-w1, -w1, -w2, -w3, -w4, -w4]


def weighted(signal, rate, name):
    zeros, poles = weighting_poles(name)
    _, at_1_kHz = scipy.signal.freqs_zpk(zeros, poles, 1, worN=[2 * math.pi * 1000.0])
    length = scipy.fft.next_fast_len(len(signal) + int(rate))
    f = scipy.fft.rfftfreq(length, 1 / rate)
    _, response = scipy.signal.freqs_zpk(zeros, poles, 1 / abs(at_1_kHz[0]), worN=2 * math.pi * f)
    return scipy.fft.irfft(scipy.fft.rfft(signal, length) * response, length)[: len(signal)]


def level(mean_square):
    return FULL_SCALE_DB + 10 * math.log10(mean_square / 0.5)


def peak_level(signal):
    dense = scipy.signal.resample(signal, 4 * len(signal))
    # The transform takes the signal for periodic: its seam is no part of it.
    dense = np.abs(dense[4 * 32 : -4 * 32])
    top = np.argmax(dense[1:-1]) + 1
    left, middle, right = dense[top - 1 : top + 2]
    crest = middle + (right - left) ** 2 / (8 * (2 * middle - left - right))
    return level(max(crest, np.max(np.abs(signal))) ** 2)


def above(f, edge):
    """Part of each line above a band edge, spread over the 2 Hz to which the library resolves."""
    return 0.5 + 0.5 * np.sin(np.pi / 2 * np.clip((f - edge) / EDGE_HALF_WIDTH, -1, 1))


def octave_levels(signal, rate):
    power = 2 * np.abs(scipy.fft.rfft(signal)) ** 2 / len(signal) ** 2
    f = scipy.fft.rfftfreq(len(signal), 1 / rate)
    zeros, poles = weighting_poles("A")
    _, at_1_kHz = scipy.signal.freqs_zpk(zeros, poles, 1, worN=[2 * math.pi * 1000.0])
    _, response = scipy.signal.freqs_zpk(zeros, poles, 1 / abs(at_1_kHz[0]), worN=2 * math.pi * f)
    levels = {}
    names = ["31.5", "63", "125", "250", "500", "1000", "2000", "4000", "8000", "16000"]
    for n, name in enumerate(names):
        middle = 1000 * 10 ** (0.3 * (n - 5))
        part = above(f, middle * 10**-0.15) - above(f, middle * 10**0.15)
        levels["octave_Z_" + name] = level(np.sum(power * part))
        levels["octave_A_" + name] = level(np.sum(power * part * np.abs(response) ** 2))
    return levels


def expected(whole, rate):
    """Levels of what lies between the first and the last second, which the filters have heard."""
    inner = slice(rate, -rate)
    signal = whole[inner] - np.mean(whole[inner])
    whole = whole - np.mean(whole)
    a, c = weighted(whole, rate, "A")[inner], weighted(whole, rate, "C")[inner]
    levels = {
        "LAeq": level(np.mean(a**2)),
        "LCeq": level(np.mean(c**2)),
        "LZeq": level(np.mean(signal**2)),
        "LAE": level(np.mean(a**2)) + 10 * math.log10(len(signal) / rate),
        "LCpeak": peak_level(c),
        "LZpeak": peak_level(signal),
    }
    levels.update(octave_levels(signal, rate))
    levels.update(time_weighted_levels(a, rate))
    return levels


def exponential_average(squares, rate, time_constant):
    """The average at every sample, which began at nothing."""
    kept = math.exp(-1 / (rate * time_constant))
    return scipy.signal.lfilter([1 - kept], [1, -kept], squares)


def time_weighted_levels(a, rate):
    """F and S of an A-weighted signal; the library leaves out 1 s for F and 5 s for S at first."""
    f = exponential_average(a**2, rate, 0.125)
    s = exponential_average(a**2, rate, 1.0)
    levels = {
        "LAFmax": level(np.max(f)),
        "LAFmin": level(np.min(f[rate:])),
        "LASmax": level(np.max(s)),
        "LASmin": level(np.min(s[5 * rate :])),
    }
    for percent in (10, 50, 90, 95):
        levels[f"LAF{percent}"] = level(np.percentile(f[rate:], 100 - percent))
    for second in range(math.ceil(len(a) / rate)):
        levels[f"second_{second}"] = level(np.mean(a[second * rate : (second + 1) * rate] ** 2))
    return levels


def measured(program, path):
    output = subprocess.run(
        [program, str(path), str(FULL_SCALE_DB)], check=True, capture_output=True, text=True
    ).stdout
    levels = {}
    for line in output.splitlines():
        channel, name, value = line.split()
        levels.setdefault(int(channel), {})[name] = float(value)
    return levels


def tolerance_of(name):
    if name.endswith("peak"):
        return PEAK_TOLERANCE[name]
    if name.startswith("octave"):
        return OCTAVE_TOLERANCE.get(name.split("_")[-1], OCTAVE_TOLERANCE_ABOVE)
    if name.startswith(("LAF", "LAS")):
        return TIME_WEIGHTED_TOLERANCE
    return FIRST_SECOND_TOLERANCE if name == "second_0" else WEIGHTED_TOLERANCE


def main():
    program = sys.argv[1]
    random = np.random.default_rng(20240229)
    worst = {}
    compared = wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        for rate in (44100, 48000, 96000):
            recordings = signals(rate, random)
            path = Path(folder) / f"{rate}.wav"
            samples = np.stack(list(recordings.values()), axis=1).astype(np.float32)
            scipy.io.wavfile.write(path, rate, samples[rate:-rate])
            levels = measured(program, path)
            for channel, name in enumerate(recordings, start=1):
                for key, value in expected(samples[:, channel - 1].astype(float), rate).items():
                    if (name, key.split("_")[0]) in NOT_COMPARED or (name, key[1:]) in NOT_COMPARED:
                        continue
                    difference = levels[channel][key] - value
                    compared += 1
                    worst[key] = max(worst.get(key, 0.0), abs(difference))
                    if not abs(difference) <= tolerance_of(key):
                        wrong += 1
                        print(f"{rate} Hz, {name}: {key} {levels[channel][key]:.3f}, "
                              f"SciPy {value:.3f} dB")
    for key, value in worst.items():
        print(f"{key}: at most {value:.4f} dB apart (accepted {tolerance_of(key)})")
    print(f"{compared} values compared, {wrong} wrong")
    return 1 if wrong or compared != 3 * (6 * (26 + 8 + 10) - 2 - 20) else 0


if __name__ == "__main__":
    sys.exit(main())
