package cache

import (
	"bytes"
	"encoding/gob"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"ohmward/geom"
)

var (
	ringType  = reflect.TypeFor[geom.Ring]()
	storeType = reflect.TypeFor[*Store]()
)

// Any takes in all that a value holds, field by field, so that a field added
// to it later counts as well. Functions and stores say nothing of a result and
// are left out; a kind of value that cannot be told from its fields panics:
// so one that leads back to itself must not be given.
func (h *Hasher) Any(v any) { h.value(reflect.ValueOf(v)) }

// Gob writes a value that package encoding/gob can tell all of.
func (w *Writer) Gob(v any) {
	var b bytes.Buffer
	if err := gob.NewEncoder(&b).Encode(v); err != nil {
		panic("cache: " + err.Error()) // a kind of value that cannot be written
	}
	w.Int(int64(b.Len()))
	w.buf = append(w.buf, b.Bytes()...)
}

// Gob reads what Gob wrote into a pointer.
func (r *Reader) Gob(into any) {
	n := r.Len(1)
	if err := gob.NewDecoder(bytes.NewReader(r.left[:n])).Decode(into); err != nil {
		r.Fail()
		return
	}
	r.left = r.left[n:]
}

func (h *Hasher) value(v reflect.Value) {
	switch {
	case v.Type() == ringType && v.CanInterface():
		h.Points(v.Interface().(geom.Ring))
		return
	case v.Type() == storeType:
		return
	}
	switch v.Kind() {
	case reflect.Func:
	case reflect.Bool:
		h.Bools(v.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		h.Ints(v.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		h.word(v.Uint())
	case reflect.Float64, reflect.Float32:
		h.Floats(v.Float())
	case reflect.String:
		h.text(v.String())
	case reflect.Slice, reflect.Array:
		h.Ints(int64(v.Len()))
		for i := range v.Len() {
			h.value(v.Index(i))
		}
	case reflect.Pointer:
		h.Bools(v.IsNil())
		if !v.IsNil() {
			h.value(v.Elem())
		}
	case reflect.Map: // in the order of its keys, which must be strings
		keys := v.MapKeys()
		slices.SortFunc(keys, func(a, b reflect.Value) int { return strings.Compare(a.String(), b.String()) })
		h.Ints(int64(len(keys)))
		for _, k := range keys {
			h.text(k.String())
			h.value(v.MapIndex(k))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			h.value(v.Field(i))
		}
	default:
		panic(fmt.Sprintf("cache: no key can be made of a %v", v.Type()))
	}
}

func (h *Hasher) text(s string) {
	h.Ints(int64(len(s)))
	h.flush()
	h.buf = append(h.buf, s...)
}
