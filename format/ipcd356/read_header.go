package ipcd356

import (
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
)

// parameter reads a P line: a keyword and its value.
func (r *reader) parameter(c columns) error {
	if len(c) > 1 && c[1] != ' ' {
		r.Warn("line %q is no record: ignored", fault.Short(string(c)))
		return nil
	}
	text := strings.TrimSpace(string(c[1:]))
	key, value, _ := strings.Cut(text, " ")
	if k, v, equals := strings.Cut(text, "="); equals && !strings.Contains(strings.TrimSpace(k), " ") &&
		strings.HasPrefix(strings.ToUpper(k), "NNAME") {
		key, value = strings.TrimSpace(k), v // "NNAME1=LONG_NAME"
	}
	key, value = strings.ToUpper(key), strings.TrimSpace(value)
	if key == "" {
		return nil
	}
	alias, ok := aliasKey(key)
	if !ok && key == "NNAME" { // the number stands apart
		var number string
		number, value, _ = strings.Cut(value, " ")
		alias, ok = aliasKey(key + number)
		value = strings.TrimSpace(value)
	}
	r.known++
	if ok {
		return r.alias(alias, value)
	}
	if key == "UNITS" {
		r.units(value)
	}
	if _, had := r.file.Headers[key]; !had {
		if len(r.file.Headers) >= maxHeaders {
			return r.Unsupported("too large: more than %d kinds of parameters", maxHeaders)
		}
		r.file.Headers[key] = value
	}
	return nil
}

func (r *reader) alias(key, long string) error {
	was, had := r.aliases[key]
	switch {
	case long == "":
		r.Warn("net alias %s has an empty name: ignored", "NNAME"+key)
	case had && was != long:
		r.Warn("net alias %s is given twice: the first name holds", "NNAME"+key)
	case !had:
		if len(r.aliases) >= r.limits.aliases {
			return r.Unsupported("too large: more than %d net aliases", r.limits.aliases)
		}
		r.aliases[key] = long
	}
	return nil
}

// units sets the unit; it stands before the records it holds for.
func (r *reader) units(value string) {
	was, wasRadians := r.unit, r.radians
	switch words := strings.Join(strings.Fields(strings.ToUpper(value)), " "); words {
	case "CUST 0":
		r.unit, r.radians = tenthMil, false
	case "CUST 1":
		r.unit, r.radians = scan.Micrometre, false
	case "CUST 2":
		r.unit, r.radians = tenthMil, true
	case "CUST", "INCH", "IN":
		r.unit, r.radians = tenthMil, false
		r.Warn("units %q taken as CUST 0, 0.0001 inch", fault.Short(value))
	case "SI", "MM", "METRIC":
		r.unit, r.radians = scan.Micrometre, false
		r.Warn("units %q taken as CUST 1, 0.001 mm", fault.Short(value))
	default:
		r.Warn("units %q are not known: ignored", fault.Short(value))
		return
	}
	if len(r.file.Records) > 0 && (was != r.unit || wasRadians != r.radians) {
		r.Warn("units change after %d records", len(r.file.Records))
	}
}

// nm turns a count of the file's units into nanometres.
func (r *reader) nm(v int64) int64 {
	if r.unit == 0 {
		r.Warn("units not said: taken as CUST 0, 0.0001 inch")
		r.unit = tenthMil
	}
	return v * r.unit
}
