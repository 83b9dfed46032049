package ohmward_test

import (
	"context"
	"fmt"
	"log"

	"ohmward"
)

// A unit's +3V3 reads near zero ohms to ground. Six readings across six
// capacitors say where the short is.
func Example() {
	ctx := context.Background()
	board, err := ohmward.OpenBoard(ctx, "demo/board", ohmward.Options{})
	if err != nil {
		log.Fatal(err)
	}
	pair, err := board.Pair(ctx, "+3V3", "GND", ohmward.Metal{Part: "J3", Net: "GND"})
	if err != nil {
		log.Fatal(err)
	}
	post, err := pair.Locate(ohmward.Evidence{Readings: []ohmward.Reading{
		{From: "C3.2", To: "C3.1", Ohms: 0.07747}, {From: "C9.1", To: "C9.2", Ohms: 0.06010},
		{From: "C8.1", To: "C8.2", Ohms: 0.04166}, {From: "C25.1", To: "C25.2", Ohms: 0.00777},
		{From: "C26.1", To: "C26.2", Ohms: 0.00941}, {From: "C34.1", To: "C34.2", Ohms: 0.04899},
	}})
	if err != nil {
		log.Fatal(err)
	}
	best, _ := post.Best()
	radius, _ := post.Radius()
	fmt.Printf("%s: %s, %.0f %%, within %.1f mm\n", post.Verdict(), best, 100*best.Probability, radius.MM())
	// Output: one short: J3's shell, 58 %, within 2.1 mm
}
