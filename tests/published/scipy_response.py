#!/usr/bin/env python3
"""A scanner of damped oscillators, integrated by SciPy's lsim: `response` recovers what they do from
recordings, and `predict` the level of a sequence that it never heard.

Usage: scipy_response.py PROGRAM"""
import json
import math
import pathlib
import subprocess
import sys
import tempfile

import numpy
from scipy import signal
from scipy.io import wavfile

RATE = 16000
FINE = 6  # steps of lsim a sample
FULL_SCALE_PA = 20.0
# Of each axis: f0 in Hz, damping, Pa for each T/m at resonance times 2 zeta.
SCANNER = [[(520.0, 0.04, 30.0), (1300.0, 0.04, 40.0)],
           [(610.0, 0.03, 25.0), (1750.0, 0.04, 30.0)],
           [(440.0, 0.05, 35.0), (2100.0, 0.03, 20.0)]]
LATE = [0.0020, 0.0035, 0.0010]


def response(axis, f):
    total = 0.0
    for f0, damping, amplitude in SCANNER[axis]:
        r = f / f0
        total = total + amplitude * 1j * r / (1 - r * r + 2j * damping * r)
    return total * numpy.exp(-2j * math.pi * f * LATE[axis])


def moved(oscillator, g):
    """What lsim gives of an oscillator, by the same exact steps as one filter: lsim itself goes step by
    step in Python. check_against_lsim compares the two."""
    b, a, _ = signal.cont2discrete(system_of(oscillator), 1.0 / (RATE * FINE), method="foh")
    return signal.lfilter(b.ravel(), a, g)


def system_of(oscillator):
    f0, damping, amplitude = oscillator
    w = 2 * math.pi * f0
    return [amplitude * w, 0.0], [1.0, 2 * damping * w, w * w]


def check_against_lsim(random):
    g = numpy.concatenate([[0.0], numpy.repeat(random.standard_normal(40), 50)])
    t = numpy.arange(len(g)) / (RATE * FINE)
    for oscillator in SCANNER[0]:
        _, by_lsim, _ = signal.lsim(system_of(oscillator), g, t)
        assert numpy.abs(moved(oscillator, g) - by_lsim).max() < 1e-6 * numpy.abs(by_lsim).max()


class Waveform:
    """Corners of trapezoids: times in s, gradients in T/m."""

    def __init__(self):
        self.rows = [(0.0, 0.0, 0.0, 0.0)]

    def go(self, time, x=0.0, y=0.0, z=0.0):
        self.rows.append((self.rows[-1][0] + time, x, y, z))

    def pulse(self, amplitudes, ramp, flat):
        self.go(ramp, *amplitudes)
        if flat > 0.0:
            self.go(flat, *amplitudes)
        self.go(ramp)

    @property
    def seconds(self):
        return self.rows[-1][0]

    def write(self, path):
        with open(path, "w", encoding="ascii") as file:
            file.write("time_s,Gx_mT_per_m,Gy_mT_per_m,Gz_mT_per_m\n")
            for time, *axes in self.rows:
                file.write(f"{time:.9f}," + ",".join(f"{g * 1e3:.6f}" for g in axes) + "\n")

    def sound(self, before, after):
        """Pa at RATE, exact but for the corners' place within a step of lsim."""
        count = int((before + self.seconds + after) * RATE)
        t = numpy.arange(count * FINE) / (RATE * FINE)
        rows = numpy.array(self.rows)
        total = numpy.zeros(count * FINE)
        for axis in range(3):
            g = numpy.interp(t - before - LATE[axis], rows[:, 0], rows[:, axis + 1], 0.0, 0.0)
            if not g.any():
                continue
            for oscillator in SCANNER[axis]:
                total += moved(oscillator, g)
        return signal.resample_poly(total, 1, FINE)


def calibration(random, seconds):
    waveform = Waveform()
    while waveform.seconds < seconds:
        waveform.pulse(random.uniform(-0.03, 0.03, 3), 0.0002, random.uniform(0.00005, 0.0012))
        waveform.go(random.uniform(0.0005, 0.02))
    return waveform


def echo_train(seconds):
    waveform = Waveform()
    sign = 1.0
    while waveform.seconds < seconds:
        waveform.pulse((0.0, 0.0, 0.015), 0.0002, 0.002)
        for _ in range(24):
            waveform.pulse((sign * 0.02, 0.0, 0.0), 0.0002, 0.00043)
            waveform.pulse((0.0, 0.004, 0.0), 0.00006, 0.0)
            sign = -sign
        waveform.go(0.011)
    return waveform


def write_recording(path, sound, random):
    noisy = (sound + 0.01 * random.standard_normal(len(sound))) / FULL_SCALE_PA
    wavfile.write(path, RATE, noisy.astype(numpy.float32))


def run(program, *arguments):
    done = subprocess.run([program, *map(str, arguments)], capture_output=True, text=True)
    assert done.returncode == 0, (arguments, done.returncode, done.stderr)
    return done.stdout


def check(what, value, limit):
    print(f"{what}: {value:.3f} (at most {limit})")
    assert abs(value) <= limit, what


def a_weighted_level(sound):
    """LAeq by the spectrum and the design-goal A weighting (IEC 61672-1, annex E)."""
    energies = numpy.abs(numpy.fft.rfft(sound)) ** 2
    f = numpy.fft.rfftfreq(len(sound), 1 / RATE)
    f2 = f * f
    with numpy.errstate(all="ignore"):
        gain = (12194.217 ** 2 * f2 * f2 / ((f2 + 20.598997 ** 2) * (f2 + 12194.217 ** 2) *
                numpy.sqrt((f2 + 107.65265 ** 2) * (f2 + 737.86223 ** 2))))
    gain /= 0.794328  # at 1 kHz
    return 10 * math.log10(2 * (energies * gain ** 2).sum() / len(sound) ** 2 / 4e-10)


def main():
    program = str(pathlib.Path(sys.argv[1]).resolve())
    random = numpy.random.default_rng(7)
    check_against_lsim(random)
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        full_scale = 20 * math.log10(FULL_SCALE_PA / math.sqrt(2) / 20e-6)
        arguments = ["response", "--full-scale-level", f"{full_scale:.9f}"]
        for n in range(4):
            waveform = calibration(random, 7.0)
            waveform.write(folder / f"{n}.csv")
            write_recording(folder / f"{n}.wav", waveform.sound(0.5 + 0.3 * n, 0.4), random)
            arguments += ["--waveform", folder / f"{n}.csv", "--recording", folder / f"{n}.wav"]
        arguments += ["--output", folder / "response.toml"]
        answer = json.loads(run(program, *arguments, "--format", "json"))
        lines = 0
        for axis, letter in enumerate("xyz"):
            found = answer["axes"][letter]
            assert found["separable"]
            f = numpy.array(found["frequency_Hz"])
            good = numpy.array(found["coherence"]) > 0.95
            lines += good.sum()
            magnitude = numpy.array(found["magnitude_Pa_per_T_per_m"])
            errors = 20 * numpy.log10(magnitude / numpy.abs(response(axis, f)))
            check(f"response of {letter}, dB", numpy.abs(errors[good]).max(), 0.5)
        assert lines > 1000, lines
        errors = [error for error in answer["left_out_error_dB"] if error is not None]
        assert len(errors) == 4
        check("held back, dB", max(map(abs, errors)), 0.5)
        assert answer["uncertainty"]["LAeq_dB"] == 2.0

        sequence = echo_train(5.0)
        sequence.write(folder / "echo.csv")
        predicted = json.loads(run(program, "predict", folder / "echo.csv", "--response",
                                   folder / "response.toml", "--card", folder / "echo.toml",
                                   "--format", "json"))
        heard = sequence.sound(0.0, 0.5)
        measured = a_weighted_level(heard) + 10 * math.log10(len(heard) / RATE / sequence.seconds)
        level = predicted["levels"]["LAeq_dB"]
        check("a sequence never heard, dB", level - measured, 0.3)
        assert predicted["uncovered"]["LAeq_at_most_dB"] >= level
        card = (folder / "echo.toml").read_text(encoding="utf-8")
        assert 'how = "predicted"' in card and f"LAeq = {level:.3f}".rstrip("0") in card


if __name__ == "__main__":
    main()
