// Package meter speaks with instruments that measure ohms and volts, over a
// raw socket, a serial port or a USB test-and-measurement device, in the
// common language of IEEE 488.2 and SCPI-99 alone.
//
// A Meter takes the instrument's lock, asks who it is, sets it up and reads
// samples; what it changed it puts back when it is closed. A sample is handed
// out only if the instrument, asked again, sends the same value and still has
// the function that was set: a late answer, a torn line or another program's
// hand is an error, never a value. Every wait has an end.
//
// A Capture takes the values of a touch out of a stream of samples; Touches
// brings several touches together; a Watch follows a reading while a short is
// reworked. These three are pure: time comes with the samples.
//
// Values are SI. A Meter is used by one goroutine at a time, and so are
// Capture, Touches and Watch.
package meter
