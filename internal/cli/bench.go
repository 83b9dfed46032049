package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/session"
	"ohmward/internal/web"

	"github.com/spf13/cobra"
)

type benchFlags struct {
	boardFlags
	port   uint64
	listen string
	cases  string // folder
	noOpen bool
}

func benchCommand(env Env) *cobra.Command {
	f := benchFlags{port: 8750}
	c := &cobra.Command{
		Use:   "bench [BOARD]",
		Short: "the page that leads the whole job at the bench",
		Long: `Serves a page on this machine: open the address it prints in a browser. It
leads from the two nets to the short proved gone, with typed values or a
simulated bench, by mouse, touch, keyboard or a foot-switch. Every answer is
written to a case file before it counts; ohmward locate reads the same file.
Interrupt ends it. From a terminal on a desktop it opens the page by itself.

` + boardOperand,
		Example: `ohmward bench demo/board
The bench is at http://127.0.0.1:8750/#/case/board-…
Cases are kept in …`,
		RunE: func(c *cobra.Command, args []string) error { return f.run(c, env, args) },
	}
	define(c, "port", "N", "of this machine; 0 takes a free one (default 8750)", last(&f.port, port))
	define(c, "listen", "ADDR:PORT", "let a tablet on the same network in, after it has\n"+
		"typed a code (default: nobody)", last(&f.listen, anyText))
	define(c, "cases", "FOLDER", "where cases and boards are kept\n"+
		"(default: ohmward in your data folder)", last(&f.cases, anyText))
	c.Flags().BoolVar(&f.noOpen, "no-open", false, "leave the page to be opened by hand")
	f.boardFlags.define(c)
	return c
}

func (f *benchFlags) run(c *cobra.Command, env Env, board []string) error {
	k := &call{env, f.answerFlags, f.options()}
	shelf, at, err := f.open(k, board)
	if err != nil {
		return err
	}
	defer shelf.Close()
	s, err := web.New(shelf, web.Options{Port: int(f.port), Listen: f.listen, Errors: told(env)})
	if err != nil {
		return err
	}
	err = respond(k, func(bench.Options) (*answer.Page, error) {
		return &answer.Page{Header: answer.NewHeader(), URL: s.URL() + at, Cases: shelf.Dir(),
			FarURL: s.FarURL(), Code: s.Code()}, nil
	}, benchText)
	if err != nil {
		return err
	}
	if env.Browse != nil && env.OutTTY && !f.noOpen && !f.json {
		if err := env.Browse(s.URL() + at); err != nil {
			fmt.Fprintf(env.Err, "ohmward: note: the page could not be opened: %s\n", oneLine(err.Error()))
		}
	}
	return s.Serve(c.Context())
}

// told prints what went wrong inside, a line at a time.
func told(env Env) func(string) {
	return func(what string) {
		for line := range strings.Lines(what) {
			fmt.Fprintf(env.Err, "ohmward: %s\n", oneLine(strings.TrimSpace(line)))
		}
	}
}

// open opens the folder of cases, and tells where on the page a case with the
// board is, where one is named.
func (f *benchFlags) open(k *call, board []string) (shelf *session.CaseFolder, at string, err error) {
	dir, err := casesFolder(f.cases)
	if err != nil {
		return nil, "", err
	}
	if err := k.provide(); err != nil {
		return nil, "", err
	}
	shelf, err = session.OpenFolder(dir, session.FolderOptions{Options: k.options, Errors: told(k.Env),
		FindMeters: bench.MeterFind})
	if err != nil || len(board) == 0 {
		return shelf, "", err
	}
	id, err := shelf.BeginOn(board[0])
	if err != nil {
		shelf.Close()
		return nil, "", err
	}
	return shelf, "#/case/" + id, nil
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

func benchText(p *page, a *answer.Page) {
	p.Line("The bench is at %s", a.URL)
	p.Line("Cases are kept in %s", a.Cases)
	if a.FarURL != "" {
		p.Line("Another machine finds it at %s and types the code %s", a.FarURL, a.Code)
	}
}
