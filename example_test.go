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

// The copper between two capacitors of a rail, in milliohms, and the bracket of
// the solver's own error.
func ExampleBoard_Resistance() {
	board, err := ohmward.OpenBoard(context.Background(), "demo/board", ohmward.Options{})
	if err != nil {
		log.Fatal(err)
	}
	r, err := board.Resistance("C3.2", "C25.1")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v (%v to %v)\n", r.Ohms, r.Low, r.High)
	// Output: 69.5 mΩ (69.4 mΩ to 69.6 mΩ)
}

// Before the first reading: how many places there are, and where to touch.
func ExamplePosterior_Next() {
	pair, err := small()
	if err != nil {
		log.Fatal(err)
	}
	post, err := pair.Locate(ohmward.Evidence{})
	if err != nil {
		log.Fatal(err)
	}
	next, err := post.Next(1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d places; touch %s and %s\n", len(pair.Suspects()), next[0].Reading.From, next[0].Reading.To)
	// Output: 14 places; touch R5.2 and R5.1
}
