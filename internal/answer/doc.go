// Package answer holds what JSON and the page say: the fields of every answer,
// the view of a case at the bench, and errors with their kind. It knows neither
// boards nor physics. Units stand in the fields' JSON names; docs/json.md lists
// them, and a test compares.
package answer
