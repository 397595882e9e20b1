#include "earbudget/measurement/findings/finding.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    FindingPhrase,
    {CutOff,
     "Cut off at {0} in {1:.0f} place{1:?|s}, first at {2:.2f} s: the levels are too low by an "
     "unknown amount. Lower the gain and record again."},
    {FullScale, "full scale"}, {BelowFullScale, "{:.1f} dB below full scale"},
    {SamplesMissing,
     "Samples are missing in {0:.0f} place{0:?|s}, {1:.0f} ms in all, first at {2:.2f} s: the "
     "recording stands still there, and its levels are too low. Record again, on a faster card or "
     "with nothing else running."},
    {ConstantOffset,
     "The recording has a constant offset of {:+.2f} % of full scale. It was taken off and does "
     "not count in any level, but may come from a damaged input: check microphone supply and "
     "recorder."},
    {TooShort,
     "Lasts {:.2f} s: below {:.0f} s the levels of pulsed or random sound depend on chance. Record "
     "{:.0f} s or more."},
    {AboveNyquist,
     "At {:g} Hz sampling rate nothing above {:g} Hz is recorded: octave bands not given: {:, } "
     "Hz; all other levels lack what lies there. Record at 48000 Hz."},
    {DigitalSilence,
     "Nothing but digital silence: no level is given. Check the microphone, its cable and the "
     "channel."},
    {NearRounding,
     "The recording is so faint, as a whole or once A-weighted, that its own rounding counts: the "
     "levels may be too high. Raise the gain or record with more bits."},
    {ManySounds,
     "The level varies so much that this is no recording of one steady sound (k = 1: {:.1f} dB): "
     "pauses, or several sequences? Find them with --find-runs and measure one with --from and "
     "--to."},
    {NotSteady,
     "The level varies so much that another recording of this length would differ by {:.1f} dB (k "
     "= 1). Record {:.0f} {:?s|min} or whole repetitions of the sequence, for 0.2 dB."},
    {Bursts,
     "{0:.0f} short burst{0:?|s} stand{0:?s|} out, the first at {1:.1f} s, and raise{0:?s|} LAeq "
     "by {2:.1f} dB: something fell, slammed or crackled? Listen there; measure another part with "
     "--from and --to, or record again."},
    {RarePeaks,
     "{0:.0f} short peak{0:?|s} stand{0:?s|} out, the first near {1:.2f} s; the highest lies "
     "{2:.1f} dB above all others, and LCpeak hangs on it. If it is no part of the sequence (a "
     "knock, a click, crackle), measure another part with --from and --to, or record again."},
    {BeyondTheHeader,
     "Behind the samples that the file's header announces there are {:.0f} bytes more that are "
     "neither a chunk nor a tag{}. If the header is older than the recording, as after a recorder "
     "lost its power, or does not belong to it, samples are missing{:?, so that there are no "
     "levels. In this encoding samples have no size of their own: what the header announces cannot "
     "be told from the rest, and --accept-length does not serve. Repair the header with the "
     "recorder's or a sound editor's help.|. Accepted by request: the levels are those of what the "
     "header announces, and all that lies behind it is left out.|, so there are no levels. Repair "
     "the header with the recorder's or a sound editor's help, or measure what it announces with "
     "--accept-length.}"},
    {OfSound, ", {:.2f} s of sound if they are samples"},
    {Lossy,
     "Compressed with a loss: levels may be off by up to {0:.1f} dB, nearly always too low, peaks "
     "by several, faint bands by 10 dB and more, and damage inside the compressed sound need not "
     "show. ±{0:.1f} dB count in the uncertainty, and there is no card of class 1. Record as WAV "
     "or FLAC."},
    {TooLoud,
     "Above {:.0f} dB, which no sound in air is, and so not given: {:, }. Check the calibration."},
    {TooFaint,
     "Below {:.0f} dB, which no microphone hears, and so not given: {:, }. Check the calibration "
     "and the gain."},
    {Band, "the {} Hz band"},
    {EmptyBands, "Some octave bands hold nothing at all and are not given."},
    {NothingAWeighted, "A-weighted, nothing is left."},
    {LouderBackground,
     "The background is {:.1f} dB louder than the recording: they may have been named the wrong "
     "way round. Nothing here is a level of a sequence."},
    {UpperBounds,
     "Less than {:.0f} dB above the background, or used together with such a level, so that these "
     "are upper bounds, as measured: {:, }. Record closer to the source or in a quieter room."},
    {NoPumpRhythm,
     "No rhythm of a pump is heard in the background recording: it was averaged as a whole. Make "
     "sure that it was recorded at the same place, with the magnet's pump running and nothing "
     "else."},
    {ToneCutOff,
     "The calibrator tone is cut off at full scale and cannot be used. Lower the gain and record "
     "calibration and measurement again."},
    {NoTone,
     "No calibrator tone: {}. Record at least 3 s of the calibrator, sitting tight on the "
     "microphone."},
    {ToneOfSilence, "nothing but silence"},
    {ToneOfOtherFrequency,
     "the strongest component is at {:.1f} Hz; 250 Hz and 1000 Hz are accepted, within {:.1f} % "
     "(IEC 60942:2017, class 1)"},
    {ToneDistorted,
     "distortion and noise are {:.1f} % of the tone; at most {:.1f} % are accepted (IEC "
     "60942:2017, class 1)"},
    {ToneBelowNoise, "low-frequency noise is stronger than the tone"},
    {ToneRecordedTooShort, "the recording is shorter than 0.2 s"},
    {ToneTooShort, "it stays within {:.1f} dB for {:.1f} s only; {:.0f} s are needed"},
    {ToneWanders, "its level wanders: of all the tone less than half stays within {:.1f} dB"},
    {SecondTone,
     "it holds a second steady tone, {:.1f} dB {:?louder|quieter}, and which one the stated level "
     "belongs to is not known"},
    {UnusualCalibrator,
     "The calibrator's level is stated as {:g} dB; calibrators usually produce 94, 104, 114 or 124 "
     "dB. Read its label: every level hangs on it."},
    {OtherTone,
     "The calibrator's tone was {:.0f} Hz before the measurement and {:.0f} Hz after it: no drift "
     "can be told. Record the same tone again."},
    {Drift,
     "The calibrator was recorded {:.2f} dB {:?higher|lower} after the measurement than before; at "
     "most {:.1f} dB are accepted{:?. Accepted by request: the levels are those of the calibration "
     "before, and the drift counts in their uncertainty.|, so that there are no levels. Measure "
     "again, or accept the drift with --accept-drift.}"},
    {AfterMeasurement, "After the measurement: {}"},
    {InCalibration, "In the calibrator's recording \"{}\": {}"},
    {InBackground, "In the background recording: {}"})

}  // namespace earbudget::report
