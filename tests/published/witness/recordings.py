"""What the second witness and the library both measure: seeded noise, pulses and a sweep."""

import numpy as np
import scipy.fft
import scipy.signal

SECONDS = 10.0  # and a second more at either end, which only the witness hears


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
