package board

// Remembering makes readings with these options share what they read and
// painted.
func Remembering(o Options) Options {
	o.memory = newMemory()
	return o
}
