"""Second witness for what is measured in recordings: NumPy and SciPy instead of the library.

Nothing is shared with the library but the poles printed in IEC 61672-1 and the band edges of
IEC 61260-1. Weightings are the analogue filters applied to the whole signal by one transform;
octave bands are sums over the lines of one transform; peaks come from resampling the whole signal.

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

FULL_SCALE_DB = 120.0  # level of a full-scale sine, whose mean square is 0.5
SECONDS = 10.0

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
    return levels


def coloured(noise, rate, exponent):
    """Noise whose power falls as 1 / f^exponent, up to where peaks can be told from samples."""
    spectrum = scipy.fft.rfft(noise)
    f = scipy.fft.rfftfreq(len(noise), 1 / rate)
    spectrum *= np.maximum(f, 10.0) ** (-exponent / 2)
    spectrum[f > 0.45 * rate] = 0
    signal = scipy.fft.irfft(spectrum, len(noise))
    return signal / np.sqrt(np.mean(signal**2))


def signals(rate, random):
    n = int((SECONDS + 2) * rate)
    t = np.arange(n) / rate

    def noise(exponent):
        return coloured(random.standard_normal(n), rate, exponent)

    # Like gradient pulses: 10 ms of noise every 100 ms, and a tone all the time.
    pulsed = noise(1.0) * ((t % 0.1) < 0.01)
    chirp = scipy.signal.chirp(t - 1, 20.0, SECONDS, 0.4 * rate, method="logarithmic", phi=40.0)
    # A tone that is cut off splashes into all bands of one long transform.
    faded = np.zeros(n)
    faded[rate:-rate] = scipy.signal.windows.tukey(n - 2 * rate, 0.05)
    return {
        "white": 0.05 * noise(0.0) + 0.1,
        "full band": 0.02 * random.standard_normal(n),
        "pink": 0.05 * noise(1.0),
        "brown": 0.05 * noise(2.0),
        "pulsed": 0.2 * pulsed + 0.01 * np.sin(2 * np.pi * 640.0 * t) - 0.3,
        "chirp": 0.5 * chirp * faded,
    }


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
    return WEIGHTED_TOLERANCE


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
    return 1 if wrong or compared != 3 * (6 * 26 - 2 - 20) else 0


if __name__ == "__main__":
    sys.exit(main())
