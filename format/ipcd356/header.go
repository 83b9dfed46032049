package ipcd356

import (
	"strings"
)

// parameter reads a P line: a keyword and its value.
func (r *reader) parameter(c columns) error {
	if len(c) > 1 && c[1] != ' ' {
		r.warn("line %q is no record: passed over", shorten(string(c)))
		return nil
	}
	text := strings.TrimSpace(string(c[1:]))
	key, value, _ := strings.Cut(text, " ")
	if k, v, equals := strings.Cut(text, "="); equals && !strings.Contains(strings.TrimSpace(k), " ") && strings.HasPrefix(strings.ToUpper(k), "NNAME") {
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
			return r.unsupported("too large: more than %d kinds of parameters", maxHeaders)
		}
		r.file.Headers[key] = value
	}
	return nil
}

func (r *reader) alias(key, long string) error {
	was, had := r.aliases[key]
	switch {
	case long == "":
		r.warn("net alias %s has an empty name: passed over", "NNAME"+key)
	case had && was != long:
		r.warn("net alias %s is given twice: the first name holds", "NNAME"+key)
	case !had:
		if len(r.aliases) >= maxAliases {
			return r.unsupported("too large: more than %d net aliases", maxAliases)
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
		r.unit, r.radians = nmPerTenthMil, false
	case "CUST 1":
		r.unit, r.radians = nmPerMicrometre, false
	case "CUST 2":
		r.unit, r.radians = nmPerTenthMil, true
	case "CUST", "INCH", "IN":
		r.unit, r.radians = nmPerTenthMil, false
		r.warn("units %q taken as CUST 0, 0.0001 inch", shorten(value))
	case "SI", "MM", "METRIC":
		r.unit, r.radians = nmPerMicrometre, false
		r.warn("units %q taken as CUST 1, 0.001 mm", shorten(value))
	default:
		r.warn("units %q are not known: passed over", shorten(value))
		return
	}
	if len(r.file.Records) > 0 && (was != r.unit || wasRadians != r.radians) {
		r.warn("units change after %d records", len(r.file.Records))
	}
}

// nm turns a count of the file's units into nanometres.
func (r *reader) nm(v int64) int64 {
	if r.unit == 0 {
		r.warn("units not said: taken as CUST 0, 0.0001 inch")
		r.unit = nmPerTenthMil
	}
	return v * r.unit
}
