#include "earbudget/limits/remarks.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    RemarkPhrase,
    {AboveCeiling,
     "a level of {:.1f} dB(A) is above {:.0f} dB(A), which is not permitted for any time"},
    {OverAWeek, "over a week with {0:g} such day{0:?|s}"}, {WhenAbove, "above it {:, }"},
    {NoMethodReaches,
     "cannot be decided: no method reaches {0:?some of it|}{1:, } under what is worn, so that it "
     "counts unreduced"},
    {WithoutThat, "without {0:.1f} {1:?%|dB}"},
    {PeakOutside,
     "compares the peak outside the protector{:?: this limit counts no protectors|: this limit is "
     "on the unweighted peak, and the method for a peak under a protector is for the C-weighted "
     "one|, on which this limit is}"},
    {PeakAtEar, "compares the peak at the ear{}"},
    {LessThanOutside,
     ", {:.1f} dB less than outside by DGUV Information 212-024, annex 1 (edition not confirmed): "
     "{:?what the fit test gives, less than |}{}"},
    {ReductionByM, "M {:g} − Ks {:g} dB"}, {ReductionByL, "L {:g} − Ks {:g} − 5 dB"},
    {SmallerReduction,
     "the smaller of M {0:g} − Ks {1:g} and L {2:g} − Ks {1:g} − 5 dB, since low_frequency is not "
     "stated"},
    {AsOutside,
     "as outside where {:?H, M and L of what is worn are neither stated nor to be computed|not "
     "worn all the time|poorly seated|two worn together, of which the method says nothing}"},
    {CForUnweighted,
     "LCpeak stands for the unweighted peak, which is not stated and may be up to 3 dB higher, "
     "more where the sound lies below 31.5 Hz or above 8 kHz"},
    {ByBound,
     "by a bound, since no peak is stated for \"{:\", \"}\": at most {:.1f} dB, taken {:g} dB "
     "above LAeq ({:?by the plan's measured cards and 3 dB|peak_at_most_above_LAeq, own choice}), "
     "and 1.64 u{:?, and 3 dB for the unweighted peak|}"},
    {HighestKnown, "highest known {:.1f} dB"},
    {NoPeakStated, "no peak is stated for \"{:\", \"}\""})

}  // namespace earbudget::report
