package cli

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/session"
	"ohmward/internal/web"
)

// benchFlags are the flags of the bench page.
type benchFlags struct {
	port          int
	portGiven     bool
	listen, cases string
}

// benchPort is where the page is unless told otherwise.
const benchPort = 8750

func benchCommand() *command {
	own := []*option{
		{"port", "N", fmt.Sprintf("of this machine; 0 takes a free one (default %d)", benchPort), setPort},
		{"listen", "ADDR:PORT", "let a tablet on the same network in, after it has\ntyped a code (default: nobody)", text(func(s *settings) *string { return &s.bench.listen })},
		{"cases", "FOLDER", "where cases and boards are kept\n(default: ohmward in your data folder)", text(func(s *settings) *string { return &s.bench.cases })},
	}
	return &command{
		name: "bench", operands: []string{"[BOARD]"},
		purpose: "the page that leads the whole job at the bench",
		about: `Serves a page on this machine: open the address it prints in a browser. It
leads from the two nets to the short proved gone, with typed values or a
simulated bench, by mouse, touch, keyboard or a foot-switch. Every answer is
written to a case file before it counts; ohmward locate reads the same file.
Interrupt ends it.

` + boardOperand,
		flags: append(own, withCommon()...),
		example: `ohmward bench demo/board
The bench is at http://127.0.0.1:8750/#/case/board-…
Cases are kept in …`,
		run: runBench,
	}
}

func setPort(s *settings, v string) error {
	n, err := strconv.Atoi(v)
	if err != nil || n < 0 || n > 65535 {
		return misuse("", "%q is no port: a whole number from 0 to 65535", v)
	}
	s.bench.port, s.bench.portGiven = n, true
	return nil
}

func runBench(ctx context.Context, k *call) error {
	f := k.set.bench
	if !f.portGiven {
		f.port = benchPort
	}
	dir, err := casesFolder(f.cases)
	if err != nil {
		return err
	}
	if k.Keep {
		k.set.Cache = bench.UserCache()
	}
	shelf, err := session.OpenFolder(dir, session.FolderOptions{Options: k.set.Options})
	if err != nil {
		return err
	}
	defer shelf.Close()
	at := ""
	if len(k.operands) > 0 {
		id, err := shelf.BeginOn(k.operands[0])
		if err != nil {
			return err
		}
		at = "#/case/" + id
	}
	s, err := web.New(shelf, web.Options{Port: f.port, Listen: f.listen, Errors: func(what string) { fmt.Fprintf(k.Err, "ohmward: %s\n", oneLine(what)) }})
	if err != nil {
		return err
	}
	a, err := work(k, func(bench.Options) (*answer.Page, error) {
		return &answer.Page{Header: answer.NewHeader(), URL: s.URL() + at, Cases: shelf.Dir(), FarURL: s.FarURL(), Code: s.Code()}, nil
	})
	if err != nil {
		return err
	}
	if err := k.print(a, func(p *page) { benchText(p, a) }); err != nil {
		return err
	}
	return s.Serve(ctx)
}

func benchText(p *page, a *answer.Page) {
	p.Line("The bench is at %s", a.URL)
	p.Line("Cases are kept in %s", a.Cases)
	if a.FarURL != "" {
		p.Line("Another machine finds it at %s and types the code %s", a.FarURL, a.Code)
	}
}

// casesFolder gives the folder for cases: the one named, or one in the user's
// data folder, where systems have such.
func casesFolder(named string) (string, error) {
	if named != "" {
		return named, nil
	}
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		dir, err := os.UserConfigDir()
		return filepath.Join(dir, "ohmward"), err
	}
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "ohmward"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", misuse("name the folder with --cases", "there is no home folder to keep cases in")
	}
	return filepath.Join(home, ".local", "share", "ohmward"), nil
}
