//go:build !unix

package cache

// own cannot be told here: a user's folders are the user's.
func own(string) error { return nil }
