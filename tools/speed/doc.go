// Speed compares the sparse solver with a reference library, CHOLMOD, on the
// same matrices on the same machine, and prints a table of ratios.
//
//	go run ./speed                      all cases, some ten minutes
//	go run ./speed -sizes 50000         one size
//	go run ./speed -shapes planes
//
// Each measurement is a process of its own that reads a matrix from a file,
// so that its peak memory is its own. The processes of a case take turns,
// several rounds long, and of each time the least is taken: what a busy
// machine adds is noise, and a ratio of two least times is the steadiest
// there is. README.md holds the last table.
//
// Without a C compiler or the library (Debian: gcc, libsuitesparse-dev) it
// says so in one line and measures nothing.
package main
