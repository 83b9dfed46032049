package boardread

import (
	"bytes"
	"fmt"
	"hash/maphash"
	"sync/atomic"

	"ohmward/format"
	"ohmward/format/excellon"
	"ohmward/format/gerber"
	"ohmward/format/ipc2581"
	"ohmward/format/ipcd356"
	"ohmward/format/placement"
	"ohmward/internal/board"
	"ohmward/internal/parallel"
)

// use is what a file serves for.
type use uint8

const (
	useNone use = iota
	useCopper
	useMask
	usePaste
	useProfile
	useDrill
	useJob
	useValues
	useComponents
	useNetlist
	useWhole // a board in one file
	useOther // read, but nothing here is taken from it
)

// ignored is the role of a file that means nothing here.
const ignored = "ignored"

// source is one file of the set, as read.
type source struct {
	path string
	kind format.Kind
	use  use
	role string
	why  string

	layer  int  // copper: its number from 1, 0 when only the place is known
	bottom bool // copper: the last layer
	inner  int  // copper: its number among the inner layers, as the name counts
	edge   format.Side
	guess  bool       // copper: told by a bare word of the name only
	side   board.Side // mask and paste

	plating  excellon.Plating
	fitted   bool // drill: the user lets the pads tell its unit
	from, to int  // drill: layers spanned, from 1, or format.Last; 0 when not given

	img    *gerber.Image
	drill  *excellon.File
	job    *job
	design *ipc2581.Design
	list   *ipcd356.File
	table  *placement.Table
	made   []board.Hole          // drill: holes that come as such
	sizes  map[int]excellon.Size // a report of drill tools
	names  string                // what such a report says, in lower case
	parts  map[string]partData   // components: sides and bodies
	values map[string]string     // components: values
	part   bool                  // of a whole board in one file
	data   []byte
	err    error // it could not be read

	negative   bool // copper: what is drawn is where there is none
	override   *roleOverride
	overridden bool // the user says what it is
	sheet      bool // a spreadsheet
	misnamed   bool // named as copper, but no Gerber file

	sum uint64 // of the content, to tell copies of a file
}

// used tells whether something is taken from the file.
func (s *source) used() bool { return s.use != useNone && s.use != useOther }

func (s *source) ignore(why string) { s.use, s.role, s.why = useNone, ignored, why }

// load reads the files of a set, both cores at work, in the order given.
func (r reader) load(open opener, files []entry) ([]*source, *overrides, error) {
	user, err := readOverrides(open, files, r.opt)
	if err != nil {
		return nil, nil, err
	}
	var total int64
	out := make([]*source, len(files))
	for i, f := range files {
		out[i] = &source{path: f.path, override: overrideOf(user.roles, f.path)}
		if f.path == RolesFile {
			out[i].role, out[i].why = "roles", "its name: says what files are"
			continue
		}
		if f.size > maxFile {
			out[i].ignore("too large to be a fabrication file")
			continue
		}
		if total += f.size; total > maxTotal {
			return nil, nil, fmt.Errorf("more than %d MB of files: name the folder that holds one board's "+
				"fabrication files", maxTotal>>20)
		}
	}
	if err := unusedOverrides(user.roles, files); err != nil {
		return nil, nil, err
	}
	var corners atomic.Int64
	r.progress("reading the files")
	parallel.Each(len(out), func(i int) {
		if s := out[i]; s.role == "" && r.ctx.Err() == nil && corners.Load() <= maxCorners {
			s.read(open)
			corners.Add(int64(s.corners()))
		}
	})
	if corners.Load() > maxCorners {
		return nil, nil, fmt.Errorf("too large: the layer images have more than %d corners together: name the "+
			"folder that holds one board's fabrication files", maxCorners)
	}
	return out, user, r.ctx.Err()
}

var contentSeed = maphash.MakeSeed()

// maxCorners bounds the memory that the images of a set take, drawings and
// legend counted: some 25 bytes each. The largest set of real boards seen while
// writing this has 3 million.
const maxCorners = 16_000_000

// corners counts what the source's image holds in memory.
func (s *source) corners() int {
	if s.img == nil {
		return 0
	}
	n := 0
	for i := range s.img.Objects {
		n += 4 + len(s.img.Objects[i].Via) // the object itself counts too
		for _, r := range s.img.Objects[i].Rings {
			n += len(r)
		}
	}
	return n
}

// headSize is how much of a file tells its kind.
const headSize = 8 << 10

// read fills the source from its file.
func (s *source) read(open opener) {
	top, err := head(open, s.path, headSize)
	if err != nil {
		s.ignore(fmt.Sprintf("cannot be read: %v", err))
		return
	}
	r := s.override
	switch {
	case r != nil && r.ignore:
		s.ignore(r.where)
		return
	case r != nil:
		s.kind = sniff(s.path, top)
	case !s.wanted(top):
		return
	}
	if s.data, err = whole(open, s.path); err != nil {
		s.ignore(fmt.Sprintf("cannot be read: %v", err))
		return
	}
	if s.kind == format.IPC2581 {
		if s.data, err = gunzip(s.data); err != nil {
			s.use, s.role, s.err = useWhole, wholeRole, fmt.Errorf("%s: %w", s.path, err)
			return
		}
	}
	s.sum = maphash.Bytes(contentSeed, s.data)
	if r != nil {
		s.readAs(r)
	} else {
		s.parse()
	}
	if s.drill == nil {
		s.data = nil // a drill file may have to be read again
	}
}

func (s *source) readGerber() { s.img, s.err = gerber.Read(bytes.NewReader(s.data), s.path) }

func (s *source) readDrill() { s.drill, s.err = excellon.Read(bytes.NewReader(s.data), s.path) }
