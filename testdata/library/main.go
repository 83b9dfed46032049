// Library locates the short of the demo's unit 17 by the engine alone. Its
// argument is the folder of the demo board.
package main

import (
	"context"
	"fmt"
	"os"

	"ohmward"
	"ohmward/unit"
)

func main() {
	if err := locate(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func locate(path string) error {
	stages := 0
	ctx := ohmward.WithProgress(context.Background(), func(string) { stages++ })
	board, err := ohmward.OpenBoard(ctx, path, ohmward.Options{Copper: new(35 * unit.Micrometre)})
	if err != nil {
		return err
	}
	r, err := board.Resistance("C3.2", "C25.1")
	if err != nil {
		return err
	}
	pair, err := board.Pair(ctx, "+3V3", "GND", ohmward.Metal{Part: "J3", Net: "GND"})
	if err != nil {
		return err
	}
	post, err := pair.Locate(ohmward.Evidence{Readings: []ohmward.Reading{
		{From: "C3.2", To: "C3.1", Ohms: 0.07747}, {From: "C9.1", To: "C9.2", Ohms: 0.06010},
		{From: "C8.1", To: "C8.2", Ohms: 0.04166}, {From: "C25.1", To: "C25.2", Ohms: 0.00777},
	}})
	if err != nil {
		return err
	}
	next, err := post.Next(3)
	if err != nil {
		return err
	}
	best, found := post.Best()
	fmt.Println(stages > 0, r.Low < r.Ohms && r.Ohms < r.High, len(pair.Suspects()) > 10, found, best, len(next))
	return nil
}
