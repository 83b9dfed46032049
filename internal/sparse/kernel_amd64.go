package sparse

// haveVector tells whether the processor and the system know AVX2 and FMA.
var haveVector = vectorUnits()

// vectorUnits asks the processor (CPUID, XGETBV).
func vectorUnits() bool
