// Union compares the union of many shapes with GEOS (python3-shapely) and
// Clipper (libpolyclipping-dev): the same rings, one core each, the three in
// turn, several rounds, the median processor time of the union alone.
package main

import (
	"bufio"
	_ "embed"
	"encoding/binary"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"

	"ohmward/geom"
)

//go:embed reference/clipper.cpp
var clipperSource string

//go:embed reference/geos.py
var geosScript string

func main() {
	n := flag.Int("n", 50_000, "shapes")
	rounds := flag.Int("rounds", 3, "rounds")
	flag.Parse()
	runtime.GOMAXPROCS(1)
	if err := compare(*n, *rounds); err != nil {
		fmt.Fprintln(os.Stderr, "union: error:", err)
		os.Exit(1)
	}
}

// engine unites the rings of a case, which also stand in a file.
type engine struct {
	name string
	run  func(rings []geom.Ring, file string) (seconds, area float64, err error)
}

func compare(n, rounds int) error {
	dir, err := os.MkdirTemp("", "union")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	engines := append([]engine{{"ohmward", ours}}, others(dir)...)
	fmt.Printf("| case | vertices |")
	for _, e := range engines {
		fmt.Printf(" %s s | area mm² |", e.name)
	}
	fmt.Println(" ohmward : faster of the others |")
	fmt.Println("|" + strings.Repeat(" --- |", 3+2*len(engines)))
	for _, c := range []struct {
		name  string
		rings []geom.Ring
	}{{"chain", chain(n, 1)}, {"random", random(n, 1)}} {
		file := filepath.Join(dir, c.name)
		vertices, err := write(file, c.rings)
		if err != nil {
			return err
		}
		times, areas := make([][]float64, len(engines)), make([]float64, len(engines))
		for range rounds {
			for i, e := range engines {
				s, a, err := e.run(c.rings, file)
				if err != nil {
					return fmt.Errorf("%s, %s: %w", e.name, c.name, err)
				}
				times[i], areas[i] = append(times[i], s), a
			}
		}
		fmt.Printf("| %s %d | %d |", c.name, n, vertices)
		best := 0.0
		for i := range engines {
			slices.Sort(times[i])
			mid := times[i][len(times[i])/2]
			fmt.Printf(" %.2f | %.6f |", mid, areas[i]/1e12)
			if i > 0 && (best == 0 || mid < best) {
				best = mid
			}
		}
		if best > 0 {
			fmt.Printf(" %.2f |\n", times[0][len(times[0])/2]/best)
		} else {
			fmt.Println(" - |")
		}
	}
	return nil
}

func ours(rings []geom.Ring, _ string) (seconds, area float64, err error) {
	runtime.GC()
	begin := processor()
	r := geom.Fill(rings, geom.NonZero)
	seconds = processor() - begin
	return seconds, r.Area(), nil
}

// processor is the time in seconds that this process has had so far, the
// garbage collector's included.
func processor() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return (time.Duration(u.Utime.Nano()) + time.Duration(u.Stime.Nano())).Seconds()
}

// others are the reference engines that this machine has.
func others(dir string) (out []engine) {
	source, program := filepath.Join(dir, "clipper.cpp"), filepath.Join(dir, "clipper")
	if err := os.WriteFile(source, []byte(clipperSource), 0o644); err == nil {
		if note, err := exec.Command("g++", "-O3", "-o", program, source,
			"-lpolyclipping").CombinedOutput(); err == nil {
			out = append(out, engine{"Clipper", outside(program)})
		} else {
			fmt.Fprintf(os.Stderr, "union: left out Clipper (needs g++ and libpolyclipping-dev): %v %s\n", err,
				firstLine(note))
		}
	}
	script := filepath.Join(dir, "geos.py")
	for _, py := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(py, "-c", "import shapely.ops").Run() == nil &&
			os.WriteFile(script, []byte(geosScript), 0o644) == nil {
			return append(out, engine{"GEOS", outside(py, script)})
		}
	}
	fmt.Fprintln(os.Stderr, "union: left out GEOS (needs python3-shapely)")
	return out
}

func firstLine(b []byte) string { return strings.SplitN(string(b), "\n", 2)[0] }

// outside runs a program on the file; it prints seconds and area.
func outside(command ...string) func([]geom.Ring, string) (float64, float64, error) {
	return func(_ []geom.Ring, file string) (s, a float64, err error) {
		cmd := exec.Command(command[0], append(command[1:len(command):len(command)], file)...)
		cmd.Stderr = os.Stderr
		out, err := cmd.Output()
		if err != nil {
			return 0, 0, err
		}
		_, err = fmt.Sscan(string(out), &s, &a)
		return s, a, err
	}
}

// write puts rings into a file as reference/clipper.cpp tells.
func write(name string, rings []geom.Ring) (vertices int, err error) {
	f, err := os.Create(name)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	w := bufio.NewWriter(f)
	put := func(v int64) { _, err = w.Write(binary.NativeEndian.AppendUint64(nil, uint64(v))) }
	put(int64(len(rings)))
	for _, r := range rings {
		vertices += len(r)
		put(int64(len(r)))
		for _, p := range r {
			put(p.X)
			put(p.Y)
		}
	}
	if err == nil {
		err = w.Flush()
	}
	return vertices, err
}
