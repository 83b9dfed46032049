// Package boardread makes a board of its fabrication files: it tells what
// every file is, reads it, fits the files onto each other and doubts what
// does not go together. A folder, a zip or one IPC-2581 file may hold the
// set; a file ohmward.toml in it corrects what files are taken for. Nothing
// is ever written. Plan lengths are nanometre integers.
package boardread
