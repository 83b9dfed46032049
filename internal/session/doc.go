// Package session leads a case at the bench, from the fabrication files to a
// short proved gone. A CaseFolder holds cases; a Session is one of them, open;
// a LoadedBoard is its board. Where a case stands follows from its case file
// alone (step.go), what a person may do is one table of acts (act.go), and what
// is shown is one view, words included (view.go, card.go). An act works on a
// copy of the case, which is weighed and written before it counts.
package session
