// Package web is the bench page: a small server on this machine, and the page
// it serves. Handlers decode, call package bench, and encode; all that is
// known or decided about a case is there.
//
// A case's state goes to every window as one snapshot with a revision number,
// pushed by server-sent events; what a person does comes back as a POST that
// names the revision it was made on. Nothing that a GET asks for changes
// anything. Who may ask at all is settled in guard.go and pairing.go.
package web
