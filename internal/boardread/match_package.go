package boardread

import (
	"regexp"
	"strconv"
)

// landPattern is what a package's name tells of its lands; zero where it does
// not say.
type landPattern struct {
	count  int        // of terminals, without a land for heat
	heat   bool       // a land for heat is said to be there
	chip   bool       // two terminals, their middle at the part's place
	span   [2]float64 // of a chip: least and greatest distance of its lands' middles, millimetres
	single bool       // one land: test point, mark, hole
	body   float64    // the body's longer side, millimetres
}

// chipLength gives the bodies' length in millimetres by the customary codes of
// chips, imperial and metric (IEC 60115-8, EIA); 0402 and 0603, which are
// both, are taken as imperial.
var chipLength = map[string]float64{"01005": 0.4, "0201": 0.6, "0402": 1, "0603": 1.6, "0805": 2, "0806": 2,
	"1005": 1, "1008": 2.5, "1206": 3.2, "1210": 3.2, "1608": 1.6, "1806": 4.5, "1808": 4.5, "1812": 4.5,
	"2010": 5, "2012": 2, "2220": 5.7, "2512": 6.3, "3216": 3.2, "3225": 3.2}

// twoLeads are packages of two leads by their customary names, with their
// span in millimetres from end to end (JEDEC DO-214, SOD outlines).
var twoLeads = []struct {
	name string
	span float64
}{{"SOD-?923", 1}, {"SOD-?523", 1.6}, {"SOD-?323", 2.6}, {"SOD-?123", 3.7}, {"SOD-?80", 3.5}, {"D_?SMA", 5.2},
	{"D_?SMB", 5.4}, {"D_?SMC", 8}, {"DO-?214AC", 5.2}, {"DO-?214AA", 5.4}, {"MINI-?MELF", 3.5}, {"MELF", 5},
	{"DFN1006-2", 1}, {"X1-?DFN1006", 1}}

var (
	chipCode = regexp.MustCompile(`(?:^|[^0-9.])(01005|0[2468]0[1-6]|1005|1008|1206|1210|1608|180[68]|1812|` +
		`2010|2012|2220|2512|3216|3225)(?:[^0-9]|$)`)
	metricCode = regexp.MustCompile(`(?i)(?:^|[^0-9])([0-9]{4})_?Metric`)
	gridCount  = regexp.MustCompile(`(?i)(?:^|[^0-9.])0*([1-9]|[1-4])x([0-9]{1,3})(?:[^0-9.m]|$)`)
	bodySize   = regexp.MustCompile(`(?i)([0-9]+(?:\.[0-9]+)?) ?x ?([0-9]+(?:\.[0-9]+)?) ?mm`)
	heatLand   = regexp.MustCompile(`(?i)[0-9]EP(?:[^A-Z]|$)|EP[0-9]|THERMAL|POWERPAD|EXPOSED|HTSSOP|[0-9]\+1`)
	singleLand = regexp.MustCompile(`(?i)TEST_?-?POINT|FIDUCIAL|MOUNTING_?-?HOLE|^TP[0-9_]|SOLDER_?WIRE`)
	singleRef  = regexp.MustCompile(`^(TP|FID|MH|H|FM)[0-9]+$`)
	// severalParts are names of parts with more than two terminals whose
	// reference may be that of a two-terminal one.
	severalParts = regexp.MustCompile(`(?i)RGB|ARRAY|NETWORK|QUAD|DUAL|BRIDGE|TRIPLE|_[2-8]x|CONVEX|CONCAVE`)
	chipRef      = regexp.MustCompile(`^(R|C|L|FB|F|D|LED|FD|PTC|RV|VR)[0-9]+[A-Z]?$`)
	families     = regexp.MustCompile(`(?i)(?:SOIC|SOP|SSOP|TSSOP|MSOP|VSSOP|HTSSOP|QSOP|SO|SOJ|PDSO|` +
		`[WVUX]?QFN|[WVUX]?DFN|[WVUX]?SON|X2SON|[LT]?QFP|PLCC|LCC|LGA|[A-Z]*BGA|WLCSP|CSP|DIP|PDIP|SIP|SOT-?23|` +
		`SOT-?353|SOT-?363|TSOT-?23|SC-?70|SC-?88|SC-?74|TSOP|PQFN|HVQFN|DHVQFN|PVQFN)` +
		`[-_ ]?[GN]?([0-9]{1,4})(?:[^0-9P]|$)`)
	ipcChip    = regexp.MustCompile(`(?i)^(?:RES|CAP|IND|LED|DIO|FUS)[A-Z]{0,3}([0-9]{4})X`)
	ipcCount   = regexp.MustCompile(`(?i)^[A-Z]+[0-9]+P[0-9]+X[0-9]+(?:X[0-9]+)?-([0-9]+)`)
	joinRef    = regexp.MustCompile(`^(J|P|CN|CON|X|K|JP|H|HD|PL|SL|ST|BT|SW|S|USB)[0-9]+`)
	countFirst = regexp.MustCompile(`(?i)(?:^|[^0-9.])([0-9]{1,3})[-_ ]?(?:LEAD|PIN|BALL|TERMINAL|L)S?` +
		`(?:[^A-Z]|$)`)
)

// fixedCounts are packages whose name implies the number of leads (JEDEC,
// JEITA).
var fixedCounts = []struct {
	name  *regexp.Regexp
	count int
}{
	{regexp.MustCompile(`(?i)SOT-?(353|553|665|753)|SC-?70-?5|SC-?88A|SC-?74A|T?SOT-?23-?5|SOT-?25`), 5},
	{regexp.MustCompile(`(?i)SOT-?(363|563|666|457)|SC-?70-?6|SC-?88|SC-?74|T?SOT-?23-?6|SOT-?26`), 6},
	{regexp.MustCompile(`(?i)SOT-?23-?8|US8`), 8},
	{regexp.MustCompile(`(?i)SOT-?143|SOT-?343|SOT-?223`), 4},
	{regexp.MustCompile(`(?i)SOT-?(23|323|346|416|523|723)(?:[^0-9]|$)|SC-?70|SC-?59|TO-?236`), 3},
}

// patternOf reads a package's name; the reference tells where it does not.
func patternOf(ref, name string) landPattern {
	var p landPattern
	if m := bodySize.FindStringSubmatch(name); m != nil {
		p.body = max(decimal(m[1]), decimal(m[2]))
	}
	if singleLand.MatchString(name) || singleRef.MatchString(ref) && !gridCount.MatchString(name) {
		p.single = true
		return p
	}
	p.heat = heatLand.MatchString(name)
	if p.chipNamed(ref, name) {
		return p
	}
	if m := ipcCount.FindStringSubmatch(name); m != nil {
		p.count, _ = strconv.Atoi(m[1])
		return p
	}
	if m := families.FindStringSubmatch(name); m != nil {
		p.count, _ = strconv.Atoi(m[1])
		for _, f := range fixedCounts { // SOT-23 is no name of 23 leads
			if f.name.MatchString(name) {
				p.count = f.count
				break
			}
		}
		return p
	}
	for _, f := range fixedCounts {
		if f.name.MatchString(name) {
			p.count = f.count
			return p
		}
	}
	switch m := gridCount.FindStringSubmatch(name); {
	case m != nil && joinRef.MatchString(ref):
		p.count = int(decimal(m[1]) * decimal(m[2]))
	default:
		if m := countFirst.FindStringSubmatch(name); m != nil {
			p.count, _ = strconv.Atoi(m[1])
		}
	}
	if p.count == 2 && !joinRef.MatchString(ref) {
		p.chip, p.span = true, [2]float64{0.25, 12}
	}
	if name == "" && chipRef.MatchString(ref) {
		p.chip, p.span = true, [2]float64{0.25, 6}
	}
	return p
}

// chipNamed reads the names of chips and of packages with two leads.
func (p *landPattern) chipNamed(ref, name string) bool {
	length := 0.0
	if m := chipCode.FindStringSubmatch(name); m != nil && (chipRef.MatchString(ref) || len(name) < 14) {
		length = chipLength[m[1]]
	} else if m := ipcChip.FindStringSubmatch(name); m != nil {
		length = decimal(m[1][:2]) / 10
	} else if m := metricCode.FindStringSubmatch(name); m != nil {
		length = decimal(m[1][:2]) / 10
	}
	if severalParts.MatchString(name) {
		return false
	}
	if length > 0 {
		p.chip, p.span = true, [2]float64{0.5 * length, 1.6*length + 0.2}
		return true
	}
	for _, t := range twoLeads {
		if regexp.MustCompile(`(?i)` + t.name).MatchString(name) {
			p.chip, p.span = true, [2]float64{0.35 * t.span, 1.3 * t.span}
			return true
		}
	}
	return false
}

func decimal(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }
