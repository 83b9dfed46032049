package bench

import (
	"context"
	"errors"
	"fmt"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/meter"
	"ohmward/unit"
)

// MeterOptions say which instrument is spoken with, and how it is to measure.
type MeterOptions struct {
	Address  string // in resource form
	FourWire bool
	NPLC     float64         // integration in periods of the mains; 0: the instrument's own preset
	Range    unit.Resistance // held at this; 0: the instrument chooses
	Baud     int             // of a serial port; 0: the usual
	Steady   bool            // wait for a firm touch
}

func (o MeterOptions) function() meter.Function {
	if o.FourWire {
		return meter.FourWire
	}
	return meter.Resistance
}

// putBackTime is how long an instrument may take to be put back as it was, also
// after an interrupt.
const putBackTime = 1500 * time.Millisecond

// findTime is how long the network is listened to.
const findTime = 2 * time.Second

// MeterFind looks for instruments.
func MeterFind(ctx context.Context) (*answer.Meters, error) {
	found, problems := meter.Find(ctx, findTime)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	a := &answer.Meters{Header: answer.NewHeader(), Instruments: []answer.MeterFound{}, Notes: problems}
	kinds := map[meter.Interface]string{meter.Serial: "serial port", meter.USB: "USB device",
		meter.Socket: "network"}
	for _, f := range found {
		a.Instruments = append(a.Instruments, answer.MeterFound{Address: f.Address.String(), Name: f.Name,
			Kind: kinds[f.Address.Interface], PortGuessed: f.Guessed, Known: f.Known})
	}
	return a, nil
}

// meterError tells an instrument's failure as an answer does.
func meterError(err error) error {
	var f *meter.Fault
	if errors.As(err, &f) {
		return &answer.Error{Kind: answer.Meter, What: f.What, Hint: f.Hint, Cause: err}
	}
	return answer.AsError(err)
}

// openMeter opens an instrument and sets it up. The instrument is put back by
// closed.
func openMeter(ctx context.Context, o MeterOptions) (*meter.Meter, error) {
	at, err := meter.ParseAddress(o.Address)
	if err != nil {
		return nil, &answer.Error{Kind: answer.Misuse, What: err.Error(),
			Hint: "ohmward meter find lists what is there"}
	}
	m, err := meter.Open(ctx, at, meter.Options{Baud: o.Baud})
	if err != nil {
		return nil, meterError(err)
	}
	err = m.Configure(ctx, meter.Setup{Function: o.function(), NPLC: o.NPLC, Range: o.Range,
		Compensate: o.FourWire})
	if err != nil {
		_ = closed(m) // the first failure says more
		return nil, meterError(err)
	}
	return m, nil
}

// closed puts an instrument back as it was, in a time of its own.
func closed(m *meter.Meter) error {
	ctx, stop := context.WithTimeout(context.Background(), putBackTime)
	defer stop()
	return m.Close(ctx)
}

// MeterRead reads once, or waits for the steady value of a touch.
func MeterRead(ctx context.Context, o MeterOptions) (*answer.MeterReading, error) {
	m, err := openMeter(ctx, o)
	if err != nil {
		return nil, err
	}
	id := m.Identity()
	a := &answer.MeterReading{Header: answer.NewHeader(), Samples: []answer.MeterSample{},
		Meter: answer.MeterIdentity{
			Address: m.Address().String(), Maker: id.Maker, Model: id.Model, Serial: id.SerialNo,
			Firmware: id.Firmware}}
	samples, touch, err := readOnce(ctx, m, o)
	if failed := closed(m); failed != nil {
		a.Notes = append(a.Notes, fmt.Sprintf("what the meter had before could not be put back: %v", failed))
	}
	if err != nil {
		return nil, meterError(err)
	}
	for _, s := range samples {
		a.Samples = append(a.Samples, sampleAnswer(s))
	}
	if touch != nil {
		a.Touch = &answer.MeterTouch{Ohms: float64(touch.Ohms), SpreadOhms: float64(touch.Spread),
			Window: touch.Window}
	}
	return a, nil
}

// readOnce gives the samples of one measurement, or those of a steady touch.
func readOnce(ctx context.Context, m *meter.Meter, o MeterOptions) ([]meter.Sample, *meter.Touch, error) {
	if !o.Steady {
		samples, err := m.Read(ctx)
		return samples, nil, err
	}
	touch, err := steadyTouch(ctx, m, o.function())
	if err != nil {
		return nil, nil, err
	}
	return touch.Samples, touch, nil
}

// steadyTouch reads until a touch has given its value.
func steadyTouch(ctx context.Context, m *meter.Meter, f meter.Function) (*meter.Touch, error) {
	c := meter.NewCapture(meter.UsualNoiseOf(f))
	for {
		samples, err := m.Read(ctx)
		if err != nil {
			return nil, err
		}
		for _, s := range samples {
			if step := c.Add(s); step.Taken != nil {
				return step.Taken, nil
			}
		}
	}
}

// stateNames are those of a sample's state.
var stateNames = map[meter.State]string{meter.Valid: "value", meter.Overload: "overload",
	meter.NegativeOverload: "negative overload", meter.NoValue: "no value"}

func sampleAnswer(s meter.Sample) answer.MeterSample {
	a := answer.MeterSample{Time: s.At.UTC().Format(time.RFC3339Nano), Function: "two-wire",
		State:     stateNames[s.State],
		RangeOhms: float64(s.Range), NPLC: s.NPLC, Compensated: s.Compensated, Checked: s.Checked, Raw: s.Raw}
	if s.Function == meter.FourWire {
		a.Function = "four-wire"
	}
	if s.State == meter.Valid {
		ohms := float64(s.Ohms)
		a.Ohms = &ohms
	}
	return a
}
