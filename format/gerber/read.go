package gerber

import (
	"errors"
	"io"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
	"ohmward/geom"
)

// reader is the state of the plotter while a file is read.
type reader struct {
	fault.Log // its line is that of the word under way
	img       *Image

	unit        int64 // nanometres; 0: not said
	assumed     bool  // the unit was taken for granted
	x, y        layout
	formatted   bool // FS was seen
	trailing    bool // trailing zeros are omitted
	incremental bool

	at        geom.Point
	plot      int // 1 line, 2 clockwise, 3 counter-clockwise
	quadrant  int // 74 single, 75 multi, 0 not said
	operation int // last D01, D02 or D03; 0: none
	aperture  *aperture
	selected  int // its D code, also where not defined; 0: none
	light     bool
	turning   turning

	inRegion bool
	contour  geom.Ring
	started  geom.Point // of the contour
	begun    int        // line of the contour's first corner

	apertures       map[int]*aperture
	apertureCorners int
	macros          map[string]*macro
	evaluated       int    // bytes of macros
	macro           *macro // being defined

	apertureAttributes map[string][]string
	objectAttributes   map[string][]string
	labels             labels

	frames  []*frame
	text    int // bytes of attributes and macros so far
	objects int // in the image and all open frames
	corners int
	known   int // words understood
	frame   placing
	limits  limits
}

// Read reads one layer image. The name stands in errors and warnings only.
// It returns a *fault.Error, or what the stream failed with. A file cut off before its end is not an
// error: Complete tells.
func Read(in io.Reader, name string) (*Image, error) { return read(in, name, usual) }

func read(in io.Reader, name string, l limits) (img *Image, err error) {
	defer fault.Catch(&err)
	r := &reader{
		limits:             l,
		Log:                fault.NewLog("gerber", name),
		img:                &Image{Attributes: map[string][]string{}, Bounds: geom.EmptyBox()},
		plot:               1,
		turning:            unturned,
		apertures:          map[int]*aperture{},
		macros:             map[string]*macro{},
		apertureAttributes: map[string][]string{},
		objectAttributes:   map[string][]string{},
		frame:              placing{scaleX: 1, scaleY: 1},
	}
	words := newLexer(in)
	r.run(words)
	r.finish()
	r.behind(words)
	r.img.Warnings = r.Warnings
	return r.img, nil
}

func (r *reader) run(l *lexer) {
	for !r.img.Complete {
		w, err := l.next()
		r.Line = w.line
		switch {
		case err == io.EOF:
			return
		case errors.Is(err, errWordTooLong):
			panic(r.Unsupported("too large: a command of more than %d bytes", maxWord))
		case err != nil:
			panic(r.Stream(err))
		}
		if l.cut && r.known > 0 && !isEnd(w.text) {
			// Half a command draws what the whole one would not.
			r.Warn("the file breaks off within the command %q, which is left out", fault.Short(w.text))
			return
		}
		if l.stray {
			r.Warn("command %q has no asterisk at its end", fault.Short(w.text))
		}
		r.word(w)
	}
}

// behind tells of the first thing after the end mark that is more than a comment,
// a second end mark or what old systems end a file with.
func (r *reader) behind(l *lexer) {
	if !r.img.Complete {
		return
	}
	ended := r.Line
	for {
		w, err := l.next()
		text := strings.Trim(w.text, " \x1a")
		switch {
		case err == io.EOF:
			return
		case errors.Is(err, errWordTooLong):
			text = "more than a command"
		case err != nil:
			panic(r.Stream(err))
		}
		if text != "" && !isEnd(text) && (w.extended || !isComment(text)) {
			r.Line = w.line
			r.Lose("the file goes on behind its end mark of line %d: %q and all that follows is left out", ended,
				fault.Short(text))
			return
		}
	}
}

// isEnd tells whether a word is one of the commands that end a file.
func isEnd(text string) bool {
	switch strings.TrimSpace(text) {
	case "M02", "M2", "M00", "M0", "M30":
		return true
	}
	return false
}

// keep counts text that stays in memory against its limit.
func (r *reader) keep(bytes int) {
	if r.text += bytes; r.text > maxText {
		panic(r.Unsupported("too large: more than %d bytes of attributes and macros", maxText))
	}
}

func (r *reader) word(w word) {
	switch {
	case w.ends:
		r.endMacro()
	case r.macro != nil:
		r.macroWord(w)
	case w.extended:
		r.extended(w.text)
	default:
		r.function(w.text)
	}
}

// finish closes what the file left open and settles the image.
func (r *reader) finish() {
	if r.macro != nil {
		r.Lose("file ends inside macro %s", r.macro.name)
	}
	if r.inRegion {
		r.Lose("file ends inside a region")
		r.endRegion()
	}
	for len(r.frames) > 0 {
		if r.frames[len(r.frames)-1].block != 0 {
			r.Warn("file ends inside aperture block D%d", r.frames[len(r.frames)-1].block)
		}
		r.closeFrame()
	}
	if r.known == 0 {
		panic(r.Malformed("no Gerber command found: not a Gerber file, or empty"))
	}
	r.frame.apply(r)
	for _, o := range r.img.Objects {
		if o.Dark {
			r.img.Bounds = r.img.Bounds.Join(geom.Bounds(o.Rings))
		}
	}
}

// perUnit gives nanometres per unit, taking inches where the file never says.
func (r *reader) perUnit() float64 { return float64(r.nanometres()) }

func (r *reader) nanometres() int64 {
	if r.unit == 0 {
		r.unit, r.assumed = scan.Inch, true
		r.Warn("no unit given before it is needed; inches taken")
	}
	return r.unit
}

func (r *reader) setUnit(nm int64) {
	if r.unit != 0 && r.unit != nm {
		if r.assumed {
			panic(r.Malformed("unit given only after it was needed"))
		}
		r.Warn("unit changes within the file")
	}
	r.unit, r.assumed = nm, false
}
