// Measure reads boards of growing size from their files to their nets and
// prints what that costs. Each board is read by a process of its own.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"

	"ohmward/format/gerber"
	"ohmward/internal/boardread"
	"ohmward/internal/copper"
	"ohmward/tools/speed/boards"
)

func main() {
	sizes := flag.String("edges", "100000,300000,1000000,3000000", "sizes in edges over all layers, with commas")
	layers := flag.Int("layers", 0, "copper layers: 4, 6 or 8, or 0 for what the size asks for")
	seed := flag.Uint64("seed", 1, "seed of the boards")
	read := flag.String("read", "", "read this folder once and print the figures of that as JSON")
	keep := flag.String("keep", "", "write the boards into this folder and leave them there")
	big := flag.Bool("large", false, "instead of the family, the IPC-2581 board of 1,600 parts and 2,400 nets")
	flag.Parse()
	err := error(nil)
	switch {
	case *read != "":
		err = one(*read)
	case *big:
		err = inFolder(*keep, func(dir string) error { return large(dir, *seed) })
	default:
		err = inFolder(*keep, func(dir string) error { return family(*sizes, *layers, *seed, dir) })
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "measure: error:", err)
		os.Exit(1)
	}
}

// figures are what reading one board gave and cost.
type figures struct {
	Edges  int     `json:"edges"`
	Wall   float64 `json:"wall_s"`
	CPU    float64 `json:"cpu_s"`
	Peak   float64 `json:"peak_mb"`
	Layers int     `json:"layers"`
	Parts  int     `json:"parts"`
	Nets   int     `json:"nets"`
	Named  int     `json:"named"`
	Doubts int     `json:"doubts"`
}

// one reads a board's folder or file to nets.
func one(folder string) error {
	begin := time.Now()
	b, err := boardread.Open(context.Background(), folder, boardread.Options{}, func(string) {})
	if err != nil {
		return err
	}
	n, err := copper.Extract(context.Background(), b, copper.Options{})
	if err != nil {
		return err
	}
	f := figures{Wall: time.Since(begin).Seconds(), Nets: len(n.Nets), Layers: len(b.Layers),
		Parts: len(b.Parts), Doubts: len(b.Doubts) + len(n.Doubts)}
	for i := range n.Nets {
		if len(n.Nets[i].Pads) > 0 {
			f.Named++
		}
	}
	return json.NewEncoder(os.Stdout).Encode(f)
}

// inFolder works in a folder, or in one of its own that does not stay.
func inFolder(keep string, work func(dir string) error) error {
	if keep != "" {
		return work(keep)
	}
	dir, err := os.MkdirTemp("", "boards")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	return work(dir)
}

// large makes and reads the board of the IPC-2581 kind.
func large(dir string, seed uint64) error {
	b, err := boards.NewLarge(40, 40, 2400, seed)
	if err != nil {
		return err
	}
	name := filepath.Join(dir, "large.xml")
	if err := b.WriteFile(name); err != nil {
		return err
	}
	info, err := os.Stat(name)
	if err != nil {
		return err
	}
	f, err := child(name)
	if err != nil {
		return err
	}
	fmt.Printf("%d cores, %s\n\n", runtime.GOMAXPROCS(0), runtime.Version())
	fmt.Println("| layers | parts | nets | file MB | wall s | CPU s | peak MB | doubts |")
	fmt.Println("| --- | --- | --- | --- | --- | --- | --- | --- |")
	fmt.Printf("| %d (of %d) | %d (of %d) | %d (of %d) | %.1f | %.2f | %.2f | %.0f | %d |\n", f.Layers,
		b.Layers(), f.Parts, b.Parts(),
		f.Nets, b.Nets(), float64(info.Size())/1e6, f.Wall, f.CPU, f.Peak, f.Doubts)
	return nil
}

// family makes and reads boards of all sizes.
func family(sizes string, layers int, seed uint64, dir string) error {
	fmt.Printf("%d cores, %s\n\n", runtime.GOMAXPROCS(0), runtime.Version())
	fmt.Println("| layers | size mm | edges | wall s | CPU s | peak MB | CPU s per million n·log2(n)/20 | " +
		"nets | nets with pads | doubts |")
	fmt.Println("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, s := range strings.Split(sizes, ",") {
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 {
			return fmt.Errorf("%q is no number of edges", s)
		}
		folder := filepath.Join(dir, s)
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return err
		}
		b := boards.New(n, layers, seed)
		if err := b.Write(folder); err != nil {
			return err
		}
		f, err := child(folder)
		if err != nil {
			return err
		}
		if f.Edges, err = edges(folder); err != nil {
			return err
		}
		e := float64(f.Edges)
		fmt.Printf("| %d | %d x %d | %d | %.2f | %.2f | %.0f | %.2f | %d (of %d) | %d | %d |\n", b.Layers,
			6*b.Across, 6*b.Along,
			f.Edges, f.Wall, f.CPU, f.Peak, f.CPU/(e*math.Log2(e)/20e6), f.Nets, b.Nets(), f.Named, f.Doubts)
	}
	return nil
}

// child reads a folder in a process of its own.
func child(folder string) (f figures, err error) {
	cmd := exec.Command(os.Args[0], "-read", folder)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return f, err
	}
	if err := json.Unmarshal(out, &f); err != nil {
		return f, err
	}
	f.CPU = (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds()
	if u, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
		f.Peak = float64(u.Maxrss) / 1024
	}
	return f, nil
}

// edges counts the sides of all rings of all layers, as the reader hands them
// to the painter.
func edges(folder string) (n int, err error) {
	names, err := filepath.Glob(filepath.Join(folder, "*.gbr"))
	if err != nil {
		return 0, err
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			return 0, err
		}
		img, err := gerber.Read(bytes.NewReader(data), filepath.Base(name))
		if err != nil {
			return 0, err
		}
		for i := range img.Objects {
			for _, r := range img.Objects[i].Rings {
				n += len(r)
			}
		}
	}
	return n, nil
}
