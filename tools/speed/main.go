package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
)

func main() {
	sizes := flag.String("sizes", "50000,200000,500000,800000", "about how many unknowns, comma-separated")
	families := flag.String("shapes", "squares,planes", "squares, planes or both")
	rounds := flag.Int("rounds", 5, "how often each measurement is repeated")
	file := flag.String("trial", "", "measure our solver on a stored matrix (what the harness starts)")
	flag.Parse()
	if *file != "" {
		exit(trial(*file))
		return
	}
	exit(compare(os.Stdout, strings.Split(*families, ","), strings.Split(*sizes, ","), max(1, *rounds)))
}

func exit(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// compare measures all cases and prints the tables.
func compare(w io.Writer, families, sizes []string, rounds int) error {
	dir, err := os.MkdirTemp("", "speed")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	oracle, err := buildOracle(dir)
	if err != nil {
		fmt.Fprintln(w, "speed: skipped:", err)
		return nil
	}
	own, err := os.Executable()
	if err != nil {
		return err
	}
	tuned := ""
	if runtime.GOARCH == "amd64" {
		tuned = buildTuned(dir)
	}
	before := load()
	var rows []*row
	var names map[string]string
	for _, shape := range families {
		for _, size := range sizes {
			r, n, err := measure(dir, shape, size, contestants(own, tuned, oracle), rounds)
			if err != nil {
				return err
			}
			r.printRatios(os.Stderr) // at once, for all takes long
			rows, names = append(rows, r), n
		}
	}
	fmt.Fprintf(w, "%s, %d cores; %s, plain build; CHOLMOD %s, supernodal, with %s, one thread. Least of %d "+
		"rounds in turn (nested dissection: of one); one core in processor time, two cores by the clock. Load of "+
		"the machine before and after: %s, %s (beyond 1 the figures for two cores are too low).\n\n",
		processor(), runtime.NumCPU(), runtime.Version(), names["version"], names["blas"], rounds, before, load())
	fmt.Fprint(w, ratioHeader)
	for _, r := range rows {
		r.printRatios(w)
	}
	fmt.Fprint(w, "\n", header)
	for _, r := range rows {
		r.print(w)
	}
	fmt.Fprintln(w)
	printScaling(w, rows)
	return nil
}

// contestants are ours on one core and on two, the tuned build, and the
// reference with its three orderings. The order is that of measure.
func contestants(own, tuned, oracle string) []contestant {
	single := []string{"OPENBLAS_NUM_THREADS=1", "OMP_NUM_THREADS=1"}
	all := []contestant{
		{name: "ours on one core", command: []string{own, "-trial"}, env: []string{"GOMAXPROCS=1"}},
		{name: "CHOLMOD with AMD", command: []string{oracle}, after: []string{"amd"}, env: single},
		{name: "ours on two cores", command: []string{own, "-trial"}, env: []string{"GOMAXPROCS=2"}},
		{name: "CHOLMOD with METIS", command: []string{oracle}, after: []string{"metis"}, env: single, rounds: 1},
		{name: "CHOLMOD with NESDIS", command: []string{oracle}, after: []string{"nesdis"}, env: single, rounds: 1},
	}
	if tuned != "" {
		all = append(all, contestant{name: "tuned build", command: []string{tuned, "-trial"},
			env: []string{"GOMAXPROCS=1"}})
	}
	return all
}

// measure makes one case and runs it.
func measure(dir, shape, size string, all []contestant, rounds int) (*row, map[string]string, error) {
	n, err := strconv.Atoi(size)
	build := shapes[shape]
	if err != nil || n < 100 || build == nil {
		return nil, nil,
			fmt.Errorf("speed: no case of shape %q and size %q: shapes are squares and planes, sizes whole numbers "+
				"from 100", shape, size)
	}
	p, err := build(n)
	if err != nil {
		return nil, nil, err
	}
	file := filepath.Join(dir, "matrix")
	if err := p.write(file); err != nil {
		return nil, nil, err
	}
	r := &row{shape: shape, n: p.m.N}
	p = nil
	runtime.GC() // the measured processes shall have the memory
	best, names, err := compete(all, file, rounds)
	if err != nil {
		return nil, nil, err
	}
	r.one, r.amd, r.two, r.dissections = best[0], best[1], best[2], best[3]
	if best[4].total() < r.dissections.total() {
		r.dissections = best[4]
	}
	r.reference, r.ordering = r.amd, "AMD"
	if r.dissections.total() < r.amd.total() {
		r.reference, r.ordering = r.dissections, "nested dissection"
	}
	if len(best) > 5 {
		r.tuned = best[5]
	}
	return r, names, nil
}

// processor is its name as the system tells it.
func processor() string {
	info, err := os.ReadFile("/proc/cpuinfo")
	if err != nil {
		return runtime.GOARCH
	}
	_, rest, _ := strings.Cut(string(info), "model name")
	name, _, _ := strings.Cut(rest, "\n")
	return strings.TrimSpace(strings.TrimLeft(name, " \t:"))
}

// load is how many processes were running or ready in the last minute.
func load() string {
	told, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "unknown"
	}
	minute, _, _ := strings.Cut(string(told), " ")
	return minute
}
