#include "earbudget/review/phrases.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    CheckPhrase,
    {LoudestChannel,
     "the card is of channel {}, the loudest, with the highest peak of all channels"},
    {WeightedBandsStated,
     "tones lie away from the middle of their octave bands: the card states A-weighted bands as "
     "measured, [levels.octave_A], which the octave-band method then uses"},
    {NoBandsStated,
     "the octave bands do not add up to LAeq, for want of bands that the sampling rate carries or "
     "since a background could be taken off only some of them: the card states no bands"},
    {MayNegate, "\"{}\" may say that it is not so"},
    {OriginNotStated, "the card does not say where its levels come from"}, {Measured, "measured"},
    {Guessed, "guessed, neither measured nor from a document"},
    {Declared,
     "declared by the manufacturer: a statement about the scanner (the worst case by NEMA MS 4, "
     "the "
     "room by IEC 60601-2-33:2022; memory), no bound for this sequence, since a phantom or a "
     "person "
     "in the bore alone can add 5 to 10 dB (abstract seen)"},
    {Predicted, "predicted from what the scanner plays, not measured"},
    {Entered, "entered from a document and not measured here"},
    {NobodyAnswers, "nobody answers for the levels"}, {NamesNoYear, "\"{}\" names no year"},
    {NoDate, "no date of the measurement"},
    {NotWhere, "\"{}\" does not say where the microphone stood"},
    {PlaceNotStated, "the microphone's place is not stated"},
    {SubjectNotStated,
     "whether a phantom or a person lay in the scanner, or nobody, is not stated"},
    {NobodyInScanner,
     "measured with nobody in the scanner: a head phantom raised levels by 5 to 10 dB (abstract "
     "seen)"},
    {MeasuredWith, "measured with a {:?phantom|person}"}, {NoInstrument, "no instrument is stated"},
    {InstrumentClass, "class {}"},
    {ClassNotStated, "the class of the instrument by IEC 61672-1:2013 is not stated"},
    {TimingNotNamed, "the timing of the protocol is not named, and a level belongs to it"},
    {CalibrationNotStated, "how the decibels came about is not stated"},
    {DurationNotStated, "how long was measured is not stated"},
    {DurationMeasured, "{} measured{:?|, less than 10 s}"},
    {RoomNotStated, "the room without the sequence is not stated"},
    {NoRecording, "no recording is named"}, {RecordingWithoutHash, "\"{}\", without its SHA-256"},
    {RecordingWithHash, "{}, SHA-256 {}…"}, {NoUncertainty, "no uncertainty is stated; {}"},
    {StandardUncertainty,
     "standard uncertainty {:g} dB (k = 1){:?, less than 0.7 dB of a class 1 instrument alone (ISO "
     "9612:2009, annex C; memory)|, which is large|}"},
    {PartsNotStated, "what the uncertainty is made of is not stated"},
    {Parts, "instrument {:g} dB, position {:g} dB, run to run {:g} dB"},
    {LevelInRange,
     "LAeq {:.1f} dB(A), {:?within|outside} {:g} to {:g} dB(A) of published measurements in "
     "scanners (Price and others, 2001; J Magn Reson Imaging 2000, 12:157; abstracts seen)"},
    {NoBands, "no octave-band levels: the octave-band method of ISO 4869-2:2018 cannot be used"},
    {BandsBorrowed, "not measured: those of \"{}\" stand for them (spectrum_like)"},
    {BandsStated, "63 Hz to 8 kHz stated"}, {BandsNotStated, "not stated: {:, } Hz"},
    {NoLCeq,
     "no LCeq and no octave bands to sum: {:?method slc80 cannot be used, hml and snr only as "
     "checks from LA alone|methods slc80 and snr cannot be used, hml only as a check from LA "
     "alone}"},
    {LCeqLevel, "{:.1f} dB(C){:?|, summed from the octave bands}"},
    {LCMinusLA, "LC − LA {} dB{:?|, outside the −2 to 10 dB that H, M and L are for}"},
    {NoLCpeak, "no LCpeak: limits on the C-weighted peak cannot be judged"},
    {NoLZpeak,
     "no LZpeak: limits on the unweighted peak are judged by LCpeak, which may be up to 3 dB "
     "lower"},
    {PeakLevel, "{:.1f} dB{:?(C)|}"},
    {PeakAboveAverage,
     "the peak is {:.1f} dB above the average{:?, less than a sine's 3 dB: perhaps the highest "
     "time-weighted level stands in the place of the peak|: perhaps a knock on the microphone made "
     "it|}"},
    {TimingUnknown, "whether the timing changed cannot be told, since not both cards name it"},
    {TimingChanged, "the timing changed, from \"{}\" to \"{}\""},
    {StateOrigin, "state [origin] with how = \"measured\" or \"entered\""},
    {MeasureIt, "measure it"},
    {SeeDocument, "see the document, and measure where the margin is small"},
    {StateWho, "state who measured, or who took the levels from where"},
    {StateFullDate, "state the date of the measurement as YYYY-MM-DD"},
    {StateWhen, "state when it was measured"},
    {StateEarPosition, "state the microphone's place: the ear position in the bore is what counts"},
    {StatePlace, "state the scanner and the microphone's place"},
    {StateSubject, "state subject = \"phantom\", \"person\" or \"empty\""},
    {MeasureWithPhantom, "measure with a head phantom, or count 10 dB more"},
    {StateInstrument, "state microphone and recorder, or sound level meter"},
    {StateClass, "state class 1 or class 2 with the instrument"},
    {StateTiming,
     "state timing, for example echo spacing, repetition time, matrix and orientation"},
    {StateCalibrator,
     "state the calibrator, its level, and the check before and after (ISO 9612:2009; memory)"},
    {StateHowDecibels, "state how the decibels came about"},
    {StateDuration, "state it: duration_s = 30.0; record 10 s or more"},
    {RecordWholeRun, "record a whole run, at least 10 s"},
    {RecordBackground, "record it at the same place and gain, over whole strokes of the pump"},
    {MeasureNearer, "measure nearer to the sequence or where it is quieter"},
    {KeepRecording, "keep the recording and name it, so that it can be measured again"},
    {StateHash, "state recording_sha256, so that the file can be recognised"},
    {StateUncertainty, "state the standard uncertainty of the levels"},
    {CountAllParts, "count instrument, position, calibration and change between runs"},
    {MeasureBetter, "measure again with a better instrument or over more runs"},
    {StateParts, "state the parts: instrument, position, drift, background, steadiness"},
    {LookAtCalibration,
     "look at calibration, gain and position: a decibel figure may belong to another scale"},
    {StateBands, "state the octave bands from 63 Hz to 8 kHz"},
    {MeasureBands, "measure the octave bands from 63 Hz to 8 kHz"},
    {StateEveryBand, "state every octave band from 63 Hz to 8 kHz"}, {StateLCeq, "state LCeq"},
    {LookAtBothLevels, "look at both levels, and use the octave-band method"},
    {StateLCpeak, "state LCpeak of a whole run"}, {StateLZpeak, "state LZpeak of a whole run"},
    {SeeHowPeakWasFound, "see how the peak was found; a maximum of LAF or LAS is no peak"},
    {ListenAtPeak, "listen to the recording at its peak"},
    {NameTiming, "name the timing on both cards"},
    {MeasureNewTiming, "measure with the new timing; levels found with the other one do not hold"},
    {ValidUntil, "used until {}{:?, which is over|}"},
    {SupersededBy, "superseded by \"{:\", \"}\""}, {UseThatOne, "review that one"},
    {MeasureAnew, "look whether scanner, software and coil are still those, and measure again"})

}  // namespace earbudget::report
