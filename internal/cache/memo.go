package cache

// Memo gives the result with a key, computing and storing it on a miss. An
// entry that does not read back soundly is a miss.
func Memo[T any](s *Store, k Key, write func(*Writer, T), read func(*Reader) T,
	compute func() (T, error)) (T, error) {
	if body, ok := s.get(k); ok {
		r := &Reader{left: body}
		if v := read(r); r.done() {
			return v, nil
		}
	}
	v, err := compute()
	if err == nil && s != nil {
		w := new(Writer)
		write(w, v)
		s.put(k, w.buf)
	}
	return v, err
}

// Value is Memo for any value that encoding/gob can tell all of. Without a store
// the key is not asked for.
func Value[T any](s *Store, key func() Key, compute func() (T, error)) (T, error) {
	if s == nil {
		return compute()
	}
	read := func(r *Reader) (v T) { r.Gob(&v); return v }
	return Memo(s, key(), func(w *Writer, v T) { w.Gob(v) }, read, compute)
}
