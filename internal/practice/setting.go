package practice

import (
	"context"
	"slices"
	"strconv"
	"strings"
)

// function is what the instrument measures.
type function int

const (
	twoWireOhms function = iota
	fourWireOhms
	dcVolts
	functions
)

// functionNames are the names as FUNC? and CONF? send them, and functionWords
// the nodes of their settings.
var (
	functionNames = [functions]string{"RES", "FRES", "VOLT"}
	functionWords = [functions]string{"RESistance", "FRESistance", "VOLTage[:DC]"}
)

// ranges are the full scales of each function, in ohms and volts.
var ranges = [functions][]float64{
	{100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8}, {100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8}, {0.1, 1, 10, 100, 1000},
}

// overRange is how far a range goes beyond its full scale.
const overRange = 1.2

// setup is what *RST presets.
type setup struct {
	function function
	auto     [functions]bool
	fixed    [functions]float64 // the range where it is not chosen, and the last chosen
	nplc     [functions]float64
	offset   [functions]bool // offset compensation of ohms
	source   string          // of triggers: IMM or BUS
	samples  int             // a trigger
}

func preset() (s setup) {
	for f := range functions {
		s.auto[f], s.fixed[f], s.nplc[f] = true, ranges[f][0], 10
	}
	s.source, s.samples = "IMM", 1
	return s
}

// number reads a numeric parameter: MIN, MAX, DEF or digits, perhaps with a unit.
func number(text string, least, most, usual float64) (float64, error) {
	switch strings.ToUpper(text) {
	case "MIN", "MINIMUM":
		return least, nil
	case "MAX", "MAXIMUM":
		return most, nil
	case "DEF", "DEFAULT":
		return usual, nil
	}
	digits := strings.TrimRight(text, "abcdfghijklmnopqrstuvwxyzABCDFGHIJKLMNOPQRSTUVWXYZ ")
	scale, known := map[string]float64{"": 1, "OHM": 1, "KOHM": 1e3, "MOHM": 1e6, "V": 1,
		"MV": 1e-3}[strings.ToUpper(strings.TrimSpace(text[len(digits):]))]
	x, err := strconv.ParseFloat(strings.TrimSpace(digits), 64)
	switch {
	case err != nil:
		return 0, errDataType
	case !known:
		return 0, errSuffix
	case x*scale < least || x*scale > most:
		return 0, errRange
	}
	return x * scale, nil
}

// boolean reads ON, OFF, or a number that is rounded.
func boolean(params []string) (bool, error) {
	if len(params) != 1 {
		return false, errMissing
	}
	switch strings.ToUpper(params[0]) {
	case "ON":
		return true, nil
	case "OFF":
		return false, nil
	}
	x, err := strconv.ParseFloat(params[0], 64)
	if err != nil {
		return false, errDataType
	}
	return x <= -0.5 || x >= 0.5, nil
}

func onOff(b bool) string {
	if b {
		return "1"
	}
	return "0"
}

// rangeFor is the lowest range that holds a value; the highest where none does.
func rangeFor(f function, x float64) float64 {
	list := ranges[f]
	if n := slices.IndexFunc(list, func(r float64) bool { return x <= r*(1+1e-9) }); n >= 0 {
		return list[n]
	}
	return list[len(list)-1]
}

// settingCommands are those of [SENSe], TRIGger and SAMPle.
func (i *Instrument) settingCommands() (list []command) {
	list = append(list, i.setting("[SENSe]:FUNCtion[:ON]", i.setFunction, func(s *setup) string {
		return strconv.Quote(functionNames[s.function])
	}), i.setting("TRIGger[:SEQuence]:SOURce", setSource, func(s *setup) string { return s.source }),
		i.setting("TRIGger[:SEQuence]:COUNt", setTriggers, func(*setup) string { return nr3(1) }),
		i.setting("SAMPle:COUNt", setSamples, func(s *setup) string { return strconv.Itoa(s.samples) }))
	for f := range functions {
		root := "[SENSe]:" + functionWords[f]
		all := ranges[f]
		list = append(list,
			i.setting(root+":RANGe[:UPPer]", func(s *setup, p []string) error {
				x, err := one(p, 0, all[len(all)-1]*overRange, all[0])
				if err == nil {
					s.fixed[f], s.auto[f] = rangeFor(f, x), false
				}
				return err
			}, func(s *setup) string { return nr3(s.fixed[f]) }),
			i.setting(root+":RANGe:AUTO", func(s *setup, p []string) (err error) {
				s.auto[f], err = boolean(p)
				return err
			}, func(s *setup) string { return onOff(s.auto[f]) }),
			i.setting(root+":NPLCycles", func(s *setup, p []string) error {
				x, err := one(p, 0.02, 100, 10)
				if err == nil {
					s.nplc[f] = x
				}
				return err
			}, func(s *setup) string { return nr3(s.nplc[f]) }))
		if f != dcVolts {
			list = append(list, i.setting(root+":OCOMpensated", func(s *setup, p []string) (err error) {
				s.offset[f], err = boolean(p)
				return err
			}, func(s *setup) string { return onOff(s.offset[f]) }))
		}
	}
	return list
}

// one reads the only parameter.
func one(params []string, least, most, usual float64) (float64, error) {
	switch len(params) {
	case 0:
		return 0, errMissing
	case 1:
		return number(params[0], least, most, usual)
	}
	return 0, errNotAllowed
}

// setting is a command that changes a copy of the set-up, and its question.
func (i *Instrument) setting(words string, set func(*setup, []string) error,
	get func(*setup) string) command {
	return command{words: pattern(words),
		run: func(_ context.Context, params []string) error {
			i.mu.Lock()
			defer i.mu.Unlock()
			next := i.setup
			if err := set(&next, params); err != nil {
				return err
			}
			i.setup = next
			return nil
		},
		ask: func(_ context.Context, params []string) (string, error) {
			if err := none(params); err != nil {
				return "", err
			}
			i.mu.Lock()
			defer i.mu.Unlock()
			return get(&i.setup), nil
		}}
}

func (i *Instrument) setFunction(s *setup, params []string) error {
	if len(params) != 1 {
		return errMissing
	}
	header := strings.Split(strings.ToUpper(unquoted(params[0])), ":")
	for f := range functions {
		if matches(pattern(functionWords[f]), header) {
			if f != s.function {
				i.abort()
				i.running = nil // its values are of another function
			}
			s.function = f
			return nil
		}
	}
	return errValue
}

func setSource(s *setup, params []string) error {
	if len(params) != 1 {
		return errMissing
	}
	for long, short := range map[string]string{"IMMEDIATE": "IMM", "BUS": "BUS"} {
		if p := strings.ToUpper(params[0]); p == long || p == short {
			s.source = short
			return nil
		}
	}
	return errValue
}

// setTriggers takes the only number of triggers that there is.
func setTriggers(_ *setup, params []string) error {
	_, err := one(params, 1, 1, 1)
	return err
}

func setSamples(s *setup, params []string) error {
	x, err := one(params, 1, 1000, 1)
	if err == nil {
		s.samples = int(x + 0.5)
	}
	return err
}
