package record

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
)

// member is a key of a JSON object with its value, in the order of the text.
type member struct {
	key   string
	value any // []member, []any, string, json.Number, bool or nil
}

// editJSON makes of an old text one that says what whole says: order and the way
// a value is written stay where before, the old text as the program writes it, is
// the same as whole.
func editJSON(old, before, whole []byte) []byte {
	merged := mergeJSON(orderedJSON(old), orderedJSON(before), orderedJSON(whole))
	var b bytes.Buffer
	writeJSON(&b, merged, "\n")
	b.WriteByte('\n')
	return b.Bytes()
}

// mergeJSON keeps of was what did not change from before to after.
func mergeJSON(was, before, after any) any {
	if reflect.DeepEqual(before, after) {
		return was
	}
	switch after := after.(type) {
	case []member:
		return mergeObject(was, before, after)
	case []any:
		w, isList := was.([]any)
		b, _ := before.([]any)
		if !isList || len(w) != len(b) {
			return after
		}
		out := slices.Clone(after)
		for i := range min(len(w), len(after)) {
			out[i] = mergeJSON(w[i], b[i], after[i])
		}
		return out
	}
	return after
}

func mergeObject(was, before any, after []member) any {
	w, isObject := was.([]member)
	b, _ := before.([]member)
	if !isObject {
		return after
	}
	var out []member
	for _, m := range w {
		switch now, stays := valueOf(after, m.key); {
		case stays:
			old, _ := valueOf(b, m.key)
			out = append(out, member{m.key, mergeJSON(m.value, old, now)})
		default:
			if _, written := valueOf(b, m.key); !written { // it never is: it follows from another
				out = append(out, m)
			}
		}
	}
	for _, m := range after {
		old, was := valueOf(b, m.key)
		if _, has := valueOf(out, m.key); !has && !(was && reflect.DeepEqual(old, m.value)) {
			out = append(out, m)
		}
	}
	return out
}

func valueOf(object []member, key string) (value any, given bool) {
	for _, m := range object {
		if m.key == key {
			return m.value, true
		}
	}
	return nil, false
}

// orderedJSON reads a valid JSON text.
func orderedJSON(text []byte) any {
	dec := json.NewDecoder(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	dec.UseNumber()
	var value func() any
	token := func() json.Token {
		t, _ := dec.Token() // the text was read before
		return t
	}
	value = func() any {
		switch t := token(); t {
		case json.Delim('{'):
			object := []member{}
			for dec.More() {
				key, _ := token().(string)
				object = append(object, member{key, value()})
			}
			token()
			return object
		case json.Delim('['):
			list := []any{}
			for dec.More() {
				list = append(list, value())
			}
			token()
			return list
		default:
			return t
		}
	}
	return value()
}

func writeJSON(b *bytes.Buffer, v any, newline string) {
	inner := newline + " "
	switch v := v.(type) {
	case []member:
		b.WriteByte('{')
		for i, m := range v {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString(inner)
			scalarJSON(b, m.key)
			b.WriteString(": ")
			writeJSON(b, m.value, inner)
		}
		b.WriteString(newline + "}")
	case []any:
		b.WriteByte('[')
		for i, e := range v {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString(inner)
			writeJSON(b, e, inner)
		}
		b.WriteString(newline + "]")
	default:
		scalarJSON(b, v)
	}
}

func scalarJSON(b *bytes.Buffer, v any) {
	text, err := json.Marshal(v)
	if err != nil {
		panic("record: " + err.Error())
	}
	b.Write(text)
}
