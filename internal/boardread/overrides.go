package boardread

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"ohmward/format"
	"ohmward/format/excellon"
	"ohmward/internal/board"
	"ohmward/internal/nearest"
)

// RolesFile is the name of the file beside a board's files in which a user
// corrects what files are taken for, chooses a copy of a panel and names nets:
//
//	copy = 2
//
//	[files]
//	"plane.art" = "copper L2"
//	"old.drl" = "ignore"
//
//	[nets]
//	"VBAT" = "J1.1"
const RolesFile = "ohmward.toml"

// rolesHelp lists the roles that can be said.
const rolesHelp = `"copper L1" to "copper L64" or "copper top" or "copper bottom", "mask top", ` +
	`"mask bottom", "paste top", "paste bottom", "profile", "drill", "drill plated", "drill unplated" ` +
	`(with a span, as "drill plated 1-2", and with "fitted" where its unit is to be found ` +
	`by its fit to the pads), "netlist", "parts list", "ignore"`

// roleOverride is what the user says a file is.
type roleOverride struct {
	role   format.Role
	use    use
	ignore bool
	fitted bool // a drill file: read as its holes fit the pads, whatever it says of its unit
	where  string
	by     string // RolesFile or "--role"
	used   bool
}

// overrides is all that the user says of a board's files.
type overrides struct {
	roles map[string]*roleOverride // by path or bare name, in lower case
	copy  int                      // of a panel: from 1, AllCopies, or 0
	names []board.Naming
}

// readOverrides gathers what the file beside the board and the flags say; flags
// win.
func readOverrides(open opener, files []entry, opt Options) (*overrides, error) {
	u := &overrides{roles: map[string]*roleOverride{}}
	if slices.ContainsFunc(files, func(e entry) bool { return e.path == RolesFile }) {
		if err := u.readFile(open); err != nil {
			return nil, err
		}
	}
	for _, text := range opt.Roles {
		name, role, ok := strings.Cut(text, "=")
		if !ok || strings.TrimSpace(name) == "" {
			return nil, fmt.Errorf("role %q: write it as FILE=ROLE, as in \"plane.art=copper L2\"", text)
		}
		if err := u.setRole(strings.TrimSpace(name), role, "--role"); err != nil {
			return nil, fmt.Errorf("--role %s: %w", strings.TrimSpace(name), err)
		}
	}
	if opt.Copy != 0 {
		u.copy = opt.Copy
	}
	return u, nil
}

func (u *overrides) readFile(open opener) error {
	data, err := head(open, RolesFile, 1<<20)
	if err != nil {
		return fmt.Errorf("%s: %w", RolesFile, err)
	}
	var text struct {
		Copy  any               `toml:"copy"`
		Files map[string]string `toml:"files"`
		Nets  map[string]string `toml:"nets"`
	}
	decode := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields()
	if err := decode.Decode(&text); err != nil {
		var unknown *toml.StrictMissingError
		if errors.As(err, &unknown) && len(unknown.Errors) > 0 {
			line, _ := unknown.Errors[0].Position()
			return fmt.Errorf("%s:%d: %q means nothing here: it takes a copy, a [files] and a [nets] table; "+
				"readings, metal and ties belong in a case file", RolesFile, line,
				strings.Join(unknown.Errors[0].Key(), "."))
		}
		return fmt.Errorf("%s: not readable (%s): write a [files] table of \"name\" = \"role\" lines", RolesFile,
			strings.ReplaceAll(err.Error(), "\n", " "))
	}
	for _, name := range slices.Sorted(maps.Keys(text.Files)) {
		if err := u.setRole(name, text.Files[name], RolesFile); err != nil {
			return fmt.Errorf("%s: %s: %w", RolesFile, name, err)
		}
	}
	if text.Copy != nil {
		if u.copy, err = ParseCopy(fmt.Sprint(text.Copy)); err != nil {
			return fmt.Errorf("%s: copy: %w", RolesFile, err)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(text.Nets)) {
		if strings.TrimSpace(name) == "" || strings.ContainsAny(name, ",\n\r") {
			return fmt.Errorf("%s: [nets] %q: a net's name is not empty and has no comma in it", RolesFile, name)
		}
		u.names = append(u.names, board.Naming{Name: name, Of: text.Nets[name], File: RolesFile})
	}
	return nil
}

// setRole notes what one file is said to be.
func (u *overrides) setRole(name, text, by string) error {
	r, err := parseRole(text)
	if err != nil {
		return err
	}
	r.where, r.by = by+" says so", by
	u.roles[strings.ToLower(path.Clean(strings.ReplaceAll(name, `\`, "/")))] = r
	return nil
}

// ParseCopy reads which copy of a panel is meant: a number from 1, or "all".
func ParseCopy(text string) (int, error) {
	if text == "all" {
		return AllCopies, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > maxCopies {
		return 0, fmt.Errorf("%q is neither \"all\" nor a copy's number from 1 to %d", text, maxCopies)
	}
	return n, nil
}

// overrideOf finds the override of a file, by its path or its bare name.
func overrideOf(roles map[string]*roleOverride, file string) *roleOverride {
	file = strings.ToLower(file)
	r := cmp.Or(roles[file], roles[path.Base(file)])
	if r != nil {
		r.used = true
	}
	return r
}

// unusedOverrides is the error for a file that is named but not there.
func unusedOverrides(roles map[string]*roleOverride, files []entry) error {
	var paths []string
	for _, f := range files {
		paths = append(paths, f.path)
	}
	for _, name := range slices.Sorted(maps.Keys(roles)) {
		if roles[name].used {
			continue
		}
		hint := ""
		if like, near := nearest.Name(name, paths); near {
			hint = ": did you mean " + like + "?"
		}
		return fmt.Errorf("%s: names %s, which is not among the board's files%s", roles[name].by, name, hint)
	}
	return nil
}

// CheckRole tells what is wrong with a role as a person writes it.
func CheckRole(text string) error {
	_, err := parseRole(text)
	return err
}

// fixedRoles are the roles that say no layers.
var fixedRoles = map[string]roleOverride{
	"copper top": {use: useCopper, role: format.Role{Class: format.Copper, Side: format.Top, Layer: 1}},
	"copper bottom": {use: useCopper,
		role: format.Role{Class: format.Copper, Side: format.Bottom, Layer: format.Last}},
	"mask top":     {use: useMask, role: format.Role{Class: format.Mask, Side: format.Top}},
	"mask bottom":  {use: useMask, role: format.Role{Class: format.Mask, Side: format.Bottom}},
	"paste top":    {use: usePaste, role: format.Role{Class: format.Paste, Side: format.Top}},
	"paste bottom": {use: usePaste, role: format.Role{Class: format.Paste, Side: format.Bottom}},
	"profile":      {use: useProfile, role: format.Role{Class: format.Profile}},
	"outline":      {use: useProfile, role: format.Role{Class: format.Profile}},
	"netlist":      {use: useNetlist},
	"parts list":   {use: useValues},
	"parts":        {use: useValues},
	"ignore":       {ignore: true},
	"ignored":      {ignore: true},
	"passed over":  {ignore: true},
}

// parseRole reads a role as a person writes it.
func parseRole(text string) (*roleOverride, error) {
	bad := fmt.Errorf("role %q is not known: write one of %s", text, rolesHelp)
	w := strings.Fields(strings.ToLower(text))
	r, fixed := fixedRoles[strings.Join(w, " ")]
	switch {
	case fixed:
	case len(w) == 2 && w[0] == "copper" && layerOf(w[1]) > 0:
		r = roleOverride{use: useCopper, role: format.Role{Class: format.Copper, Layer: layerOf(w[1])}}
	case len(w) > 0 && w[0] == "drill":
		r = roleOverride{use: useDrill, role: format.Role{Class: format.Drill}}
		for _, x := range w[1:] {
			from, to, ok := strings.Cut(x, "-")
			switch {
			case x == "plated":
				r.role.Plated = excellon.Plated
			case x == "unplated":
				r.role.Plated = excellon.Unplated
			case x == "fitted":
				r.fitted = true
			case ok && layerOf(from) > 0 && layerOf(to) > 0:
				r.role.From, r.role.To = layerOf(from), layerOf(to)
			default:
				return nil, bad
			}
		}
	default:
		return nil, bad
	}
	return &r, nil
}

// layerOf reads L3 or 3; 0 where it is neither.
func layerOf(s string) int {
	n, err := strconv.Atoi(strings.TrimPrefix(s, "l"))
	if err != nil || n < 1 || n > 64 {
		return 0
	}
	return n
}

// readAs reads the file as what the user says it is.
func (s *source) readAs(r *roleOverride) {
	switch r.use {
	case useNetlist:
		s.readNetlist()
	case useValues:
		if s.readTable(); s.table == nil {
			what := "it is no table of parts"
			if isSpreadsheet(s.path, s.data[:min(len(s.data), headSize)]) {
				what = "it is " + sheetRefused
			}
			s.err = fmt.Errorf("board: %s: %s, but %s", s.path, r.where, what)
		}
	case useDrill:
		if s.kind == format.Gerber {
			s.readGerber()
		} else {
			s.readDrill()
		}
		s.use, s.fitted = useDrill, r.fitted
		role := r.role
		if s.drill != nil {
			own, _ := format.DrillRole(s.path, s.drill)
			role.Plated = cmp.Or(role.Plated, own.Plated)
			if role.From == 0 {
				role.From, role.To = own.From, own.To
			}
		}
		s.replate(r.role.Plated)
		s.drillRole(role, r.where)
	default:
		s.readGerber()
		s.take(r.role, r.where)
	}
	if s.role != ignored {
		s.why = r.where
	}
	s.overridden = true
}

// replate gives every hole the plating that the user says.
func (s *source) replate(p excellon.Plating) {
	if s.drill == nil || p == excellon.PlatingUnknown {
		return
	}
	for i := range s.drill.Hits {
		s.drill.Hits[i].Plating = p
	}
}
