package copper

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ohmward/unit"
)

// lowOhm is what reference and value tell of a part that may join nets.
type lowOhm struct {
	kind  string // "bead", "inductor", "fuse", "link", "shunt", "jumper" or "net tie"; "" for none
	ohms  unit.Resistance
	sigma float64
	why   string
	open  bool // it joins only when somebody closed it: not taken as joining
}

// Usual resistances of parts whose value does not tell it (common practice,
// no source; a user may edit each tie).
const (
	beadOhms  = 0.1
	fuseOhms  = 0.05
	smallFuse = 0.5 // of fewAmps or less
	resetOhms = 0.2 // resettable
	smallRest = 1.0
	linkOhms  = 0.01
	fewAmps   = 0.25
	// mostShunt is the largest resistance of a resistor that counts as a
	// tie: a volt across more is more than a milliohm meter's current.
	mostShunt = 1.0
	// shuntSigma is for a resistor whose value tells it, solder included.
	shuntSigma = 0.05
)

var (
	byTwo   = math.Log(2)
	byThree = math.Log(3)
)

// What the letters of a reference stand for. Others are told by the value
// alone, when it leaves no doubt.
var refKinds = map[string]string{
	"R": "resistor", "RS": "resistor", "RSH": "resistor", "RSENSE": "resistor", "RSNS": "resistor",
	"RCS": "resistor", "SH": "resistor",
	"RN": "resistor", "RA": "resistor", "RP": "resistor", "RNET": "resistor",
	"FB": "bead", "BEAD": "bead", "FER": "bead", "FBEAD": "bead", "LB": "bead",
	"L": "inductor", "LX": "inductor",
	"F": "fuse", "FS": "fuse", "FU": "fuse", "FUSE": "fuse", "PF": "fuse", "PTC": "fuse",
	"E": "filter", "Z": "filter", "B": "filter", "BD": "filter", "EMI": "filter", "FL": "filter",
	"FLT": "filter",
	"JP":  "jumper", "SJ": "jumper", "SB": "jumper", "LK": "jumper", "LNK": "jumper", "LINK": "jumper",
	"JMP": "jumper", "WL": "jumper",
	"NT": "net tie", "NETTIE": "net tie",
	"Y": "none", "X": "none", "XTAL": "none", "U": "none", "IC": "none", "Q": "none", "T": "none", "TP": "none",
	"LED": "none", "FID": "none", "SW": "none", "RT": "none", "RV": "none", "TH": "none", "NTC": "none",
}

var refLetters = regexp.MustCompile(`^([A-Z]+)_?[0-9]`)

// refKind tells what a reference stands for, "" where it leaves that open. In
// "CH1_R7" the R does.
func refKind(ref string) string {
	for _, s := range append([]string{strings.ToUpper(ref)},
		strings.FieldsFunc(strings.ToUpper(ref), func(c rune) bool {
			return strings.ContainsRune("_/.-:", c)
		})...) {
		if m := refLetters.FindStringSubmatch(s); m != nil && refKinds[m[1]] != "" {
			return refKinds[m[1]]
		}
	}
	return ""
}

var (
	// An impedance at a frequency is a bead's: "600R@100MHz", "220 2A 100MHz".
	impedance = regexp.MustCompile(`(?i)\d\s*[kR]?\s*(?:ohms?)?\s*(?:@|at)\s*\d+\s*MHz|\d\s*(?:R|` +
		`ohms?)\b.*\d+\s*MHz`)
	frequency = regexp.MustCompile(`(?i)\d\s*[kMG]Hz`)
	beadWords = regexp.MustCompile(`(?i)\bferrite|\bbead|^(BLM\d\d|MPZ\d{4}|MMZ\d{4}|BKP?\d{4}|PBY\d{6}|` +
		`GZ\d{4}D|7427\d)`)
	inductance = regexp.MustCompile(`(?i)(?:^|[\s,;/_])(\d*[.,]?\d+)\s*([pnum])H\b`)
	shortHenry = regexp.MustCompile(`(?i)^\s*(\d*[.,]?\d+)\s*([nu])\d*\s*$`)
	directOhms = regexp.MustCompile(`(?i)(?:DCR|Rdc)\W*(\d*\.?\d+\s*m?(?:R|ohms?))|(\d*\.?\d+\s*m?(?:R|` +
		`ohms?))\W*(?:DCR|Rdc)`)
	capacitance = regexp.MustCompile(`(?i)\d\s*[pnum]F\b`)
	resettable  = regexp.MustCompile(`(?i)\bP?PTC\b|poly-?(fuse|switch)|reset`)
	fuseWord    = regexp.MustCompile(`(?i)fuse\b`)
	amps        = regexp.MustCompile(`(?i)(\d*[.,]?\d+)\s*(m?)A\b`)
	light       = regexp.MustCompile(`(?i)\b(LED|red|green|blue|white|yellow|amber|orange|lamp|RGB)\b`)
	mark        = regexp.MustCompile(`(?i)fiducial|filter|logo|hole`)
	joined      = regexp.MustCompile(`(?i)\b(closed|bridged|wire|shorted)\b|wire ?link`)
)

// numberedParts are parts' numbers that tell a resistance: jumpers of zero
// ohms and current-sense resistors (the trade's customary codes).
var numberedParts = []*regexp.Regexp{
	regexp.MustCompile(`^RC\d{4}[FJ][RK]-\d\d(0R)L$`),
	regexp.MustCompile(`^CRCW\d{4}0{3}(0)Z`),
	regexp.MustCompile(`^ERJ-?\w{3}(0R)00`),
	regexp.MustCompile(`^RMC[FS]\d{4}ZT(0R)00`),
	regexp.MustCompile(`^WS[LK]\w?\d{4}(R\d{3,4})\w`),
}

// recognise tells from reference and value whether a part joins nets for
// direct current, and with what resistance.
func recognise(ref, value string) lowOhm {
	kind, value := refKind(ref), spellings.Replace(value)
	if kind == "none" || strings.EqualFold(strings.TrimSpace(value), ref) && kind == "resistor" {
		return lowOhm{}
	}
	ohms, bare, known := valueOhms(value)
	if known && ohms == 0 && (!bare || kind != "") {
		return lowOhm{kind: "link", ohms: linkOhms, sigma: byTwo, why: "its value is zero ohms"}
	}
	if capacitance.MatchString(value) {
		return lowOhm{}
	}
	if kind != "" && (impedance.MatchString(value) || beadWords.MatchString(value)) {
		return bead(value, "its value is an impedance or a bead's name")
	}
	switch kind {
	case "resistor":
		return resistor(value, ohms, known)
	case "bead":
		return bead(value, "its reference")
	case "inductor":
		return inductor(value, known && !bare)
	case "fuse":
		if mark.MatchString(value) {
			return lowOhm{}
		}
		return fuse(value, "its reference")
	case "jumper", "net tie":
		if joined.MatchString(value) {
			return lowOhm{kind: "link", ohms: linkOhms, sigma: byTwo, why: "its value says that it is closed"}
		}
		return lowOhm{kind: kind, ohms: linkOhms, sigma: byTwo, open: true,
			why: "its reference; the copper leaves it open"}
	}
	return lowOhm{}
}

func resistor(value string, ohms unit.Resistance, known bool) lowOhm {
	if amps.MatchString(value) && (resettable.MatchString(value) || fuseWord.MatchString(value)) {
		return fuse(value, "its value")
	}
	for _, p := range numberedParts {
		if m := p.FindStringSubmatch(strings.TrimSpace(value)); m != nil {
			o, ok := readOhms(m[1])
			ohms, known = unit.Resistance(o.ohms), ok
		}
	}
	switch {
	case !known || ohms > mostShunt:
		return lowOhm{}
	case ohms == 0:
		return lowOhm{kind: "link", ohms: linkOhms, sigma: byTwo, why: "its value is zero ohms"}
	}
	return lowOhm{kind: "shunt", ohms: ohms, sigma: shuntSigma, why: "its value"}
}

func bead(value, why string) lowOhm {
	return lowOhm{kind: "bead", ohms: beadOhms, sigma: byTwo, why: why}.direct(value)
}

// direct takes a resistance for direct current that is written as such.
func (l lowOhm) direct(value string) lowOhm {
	m := directOhms.FindStringSubmatch(value)
	if m == nil {
		return l
	}
	o, ok := readOhms(strings.ReplaceAll(m[1]+m[2], " ", ""))
	if ok && o.ohms > 0 && o.ohms <= 100 {
		l.ohms, l.sigma, l.why = unit.Resistance(o.ohms), math.Log(1.3), "its value tells its resistance"
	}
	return l
}

// usualCoils are the usual resistances of inductors up to an inductance, in
// henries.
var usualCoils = []usualCoil{{1e-6, 0.05}, {33e-6, 0.1}, {330e-6, 0.4}, {3.3e-3, 2}}

type usualCoil struct {
	henries float64
	ohms    unit.Resistance
}

func inductor(value string, isImpedance bool) lowOhm {
	out := lowOhm{kind: "inductor", ohms: 0.1, sigma: byThree, why: "its reference"}
	h, known := henries(value)
	switch {
	case light.MatchString(value), frequency.MatchString(value) && !known:
		return lowOhm{}
	case isImpedance && !known:
		return bead(value, "ohms as an inductor's value are an impedance")
	case known:
		k := slices.IndexFunc(usualCoils, func(u usualCoil) bool { return h < u.henries })
		if k < 0 {
			return lowOhm{}
		}
		out.ohms, out.why = usualCoils[k].ohms, "its inductance"
	}
	return out.direct(value)
}

// henries reads an inductance: "10uH", "4.7 µH", "2u2", "100n".
func henries(value string) (float64, bool) {
	m := inductance.FindStringSubmatch(value)
	if m == nil {
		m = shortHenry.FindStringSubmatch(value)
	}
	if m == nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
	scale := map[string]float64{"p": 1e-12, "n": 1e-9, "u": 1e-6, "m": 1e-3}[strings.ToLower(m[2])]
	return v * scale, err == nil
}

func fuse(value, why string) lowOhm {
	out := lowOhm{kind: "fuse", ohms: fuseOhms, sigma: byTwo, why: why}
	small := false
	if m := amps.FindStringSubmatch(value); m != nil {
		v, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
		if m[2] != "" {
			v /= 1000
		}
		small = err == nil && v <= fewAmps
	}
	switch reset := resettable.MatchString(value); {
	case reset && small:
		out.ohms, out.sigma = smallRest, byThree
	case reset:
		out.ohms, out.sigma = resetOhms, byThree
	case small:
		out.ohms, out.sigma = smallFuse, byThree
	}
	return out
}
