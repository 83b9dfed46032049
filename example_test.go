package ohmward_test

import (
	"context"
	"fmt"
	"log"

	"ohmward"
)

// A unit's reset line never falls: it reads near zero ohms to +3V3. Six readings
// say where the short is.
func Example() {
	ctx := context.Background()
	board, err := ohmward.OpenBoard(ctx, "demo/board", ohmward.Options{})
	if err != nil {
		log.Fatal(err)
	}
	pair, err := board.Pair(ctx, "+3V3", "NRST")
	if err != nil {
		log.Fatal(err)
	}
	post, err := pair.Locate(ohmward.Evidence{Readings: []ohmward.Reading{
		{From: "C8.1", To: "TP6.1", Ohms: 0.05598}, {From: "R5.2", To: "R5.1", Ohms: 0.04771},
		{From: "C9.1", To: "C23.1", Ohms: 0.05826}, {From: "TP1.1", To: "TP6.1", Ohms: 0.07385},
		{From: "C7.1", To: "R5.1", Ohms: 0.06077}, {From: "C3.2", To: "C23.1", Ohms: 0.07448},
	}})
	if err != nil {
		log.Fatal(err)
	}
	best, _ := post.Best()
	radius, _ := post.Radius()
	fmt.Printf("%s: %s, %.0f %%, within %.1f mm\n", post.Verdict(), best, 100*best.Probability, radius.MM())
	// Output: one short: U1.42 and U1.41, 55 %, within 0.5 mm
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
