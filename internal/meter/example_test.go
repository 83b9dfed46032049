package meter_test

import (
	"context"
	"fmt"
	"net"
	"os"

	"ohmward/internal/meter"
	"ohmward/internal/practice"
)

// The way from an address to a reading: three steady touches, the lowest that
// repeats. Here a simulated meter stands on the socket, its tips on 18.7 mΩ
// more than the leads have.
func Example() {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		panic(err)
	}
	wire := practice.NewWire(func([]string, bool) (float64, float64, error) { return 0.0187, 0.0187, nil },
		practice.Noise{}, practice.Effects{Plain: true}, seeded(1))
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go practice.NewInstrument(wire, practice.InstrumentOptions{}).Serve(ctx, l)
	locks, err := os.MkdirTemp("", "locks")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(locks)

	at, err := meter.ParseAddress(fmt.Sprintf("TCPIP0::127.0.0.1::%d::SOCKET", l.Addr().(*net.TCPAddr).Port))
	if err != nil {
		panic(err)
	}
	m, err := meter.Open(ctx, at, meter.Options{LockFolder: locks})
	if err != nil {
		panic(err)
	}
	defer m.Close(ctx)
	if err := m.Configure(ctx, meter.Setup{Function: meter.FourWire, Range: 100, NPLC: 1}); err != nil {
		panic(err)
	}
	touches := meter.Touches{FourWire: true}
	for touches.Wanted() > 0 {
		wire.Touch([]string{"C9.1", "C9.2"}) // a person does
		capture := meter.NewCapture(meter.UsualNoiseOf(meter.FourWire))
		within, done := context.WithCancel(ctx)
		err := m.Stream(within, func(e meter.Event) {
			for _, s := range e.Samples {
				if step := capture.Add(s); step.Taken != nil {
					touches.Add(*step.Taken)
					done()
				}
			}
		})
		if err != nil {
			panic(err)
		}
		wire.Lift()
	}
	ohms, _ := touches.Value()
	fmt.Println(ohms, "after", len(touches.List), "touches")
	// Output: 18.7 mΩ after 3 touches
}
