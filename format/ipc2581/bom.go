package ipc2581

import "strings"

// bill is what the bills of materials tell: values by part and by item.
type bill struct {
	byRef, byItem map[string]string
	absent        map[string]bool
	entries       int
}

func newBill() bill {
	return bill{map[string]string{}, map[string]string{}, map[string]bool{}, 0}
}

func (b *bill) value(ref, item string) string {
	if v := b.byRef[ref]; v != "" {
		return v
	}
	return b.byItem[item]
}

func (r *reader) bomItem(e *element) {
	item := e.attr("OEMDesignNumberRef")
	var refs []string
	value, rank := "", 0
	absent := e.attr("quantity") == "0"
	r.each(func(e *element) {
		switch e.name {
		case "RefDes":
			name := e.attr("name")
			refs = append(refs, name)
			if !yes(e.attr("populate"), true) {
				r.bom.absent[name] = true
			}
			r.bom.entries++
			r.full(r.bom.entries, "lines of the bill of materials")
		case "Characteristics":
			r.each(func(e *element) {
				if v, n := characteristic(e); n > rank {
					value, rank = v, n
				}
				absent = absent || saysAbsent(e)
			})
		}
	})
	for _, ref := range refs {
		if absent {
			r.bom.absent[ref] = true
		}
	}
	if value == "" {
		return
	}
	for _, ref := range refs {
		r.bom.byRef[ref] = value
	}
	if item != "" {
		r.bom.byItem[item] = value
	}
	r.full(len(r.bom.byItem), "items")
}

// saysAbsent tells whether a characteristic says that the part is not fitted,
// whichever way its name asks. The names are those that writers use.
func saysAbsent(e *element) bool {
	name, value := e.attr("textualCharacteristicName"), e.attr("textualCharacteristicValue")
	if e.name == "Enumerated" {
		name, value = e.attr("enumeratedCharacteristicName"), e.attr("enumeratedCharacteristicValue")
	}
	plain := strings.NewReplacer(" ", "", "_", "", "-", "").Replace(strings.ToLower(name))
	value = strings.ToLower(strings.TrimSpace(value))
	no := value == "false" || value == "no" || value == "0" || value == "n"
	switch plain {
	case "dnp", "dni", "dnf", "dns", "dnm", "donotpopulate", "donotfit", "donotplace", "donotinstall", "nostuff",
		"notfitted", "notpopulated", "excludefrombom":
		return value != "" && !no
	case "populate", "populated", "fitted", "placed", "mounted", "installed", "stuffed":
		return no || absentValues[value]
	}
	return false
}

// absentValues are such characteristics' other ways of saying no.
var absentValues = map[string]bool{"dnp": true, "dnf": true, "dni": true, "not fitted": true,
	"not populated": true, "not mounted": true, "not placed": true, "not installed": true,
	"do not populate": true}

// characteristic reads one Textual, Enumerated, Measured or Ranged element;
// the rank tells how surely its text is the part's value (0: it is not). The
// names are those that writers use; the format itself leaves them open.
func characteristic(e *element) (value string, rank int) {
	var name string
	switch e.name {
	case "Textual":
		name, value = e.attr("textualCharacteristicName"), e.attr("textualCharacteristicValue")
	case "Enumerated":
		name, value = e.attr("enumeratedCharacteristicName"), e.attr("enumeratedCharacteristicValue")
	case "Measured":
		name, value = e.attr("measuredCharacteristicName"), e.attr("measuredCharacteristicValue")
		value = withUnit(value, e.attr("engineeringUnitOfMeasure"))
	}
	if value == "" {
		return "", 0
	}
	switch strings.ToLower(name) {
	case "value":
		return value, 4
	case "val", "comment", "part_value", "part value":
		return value, 3
	case "resistance", "capacitance", "inductance", "impedance":
		return value, 2
	}
	return "", 0
}

// unitWords are units written out, as the format's own list has them.
var unitWords = map[string]string{
	"ohms": "Ω", "ohm": "Ω", "farads": "F", "farad": "F", "henries": "H", "henrys": "H", "henry": "H",
	"hertz": "Hz", "volts": "V", "volt": "V", "amperes": "A", "ampere": "A", "amps": "A", "watts": "W",
	"watt": "W",
}

// unitPrefixes are the decimal prefixes that stand before such a word.
var unitPrefixes = map[string]string{
	"pico": "p", "nano": "n", "micro": "µ", "milli": "m", "kilo": "k", "mega": "M", "giga": "G",
}

// withUnit joins a measured number and its unit, which may be a word.
func withUnit(value, of string) string {
	word := strings.ToLower(of)
	if u, ok := unitWords[word]; ok {
		return value + u
	}
	for p, short := range unitPrefixes {
		if rest, ok := strings.CutPrefix(word, p); ok {
			if u, ok := unitWords[strings.TrimLeft(rest, " -_")]; ok {
				return value + short + u
			}
		}
	}
	if value == "" || strings.HasSuffix(value, of) {
		return value
	}
	return value + of
}
