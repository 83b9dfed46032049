package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"
)

// readJSON reads a small JSON file that a flag names, where one is given.
func readJSON(flag, path string, into any) error {
	if path == "" {
		return nil
	}
	const most = 64 << 20
	if info, err := os.Stat(path); err == nil && (info.IsDir() || info.Size() > most) {
		return fmt.Errorf("--%s: %s is not a JSON file of at most 64 MB", flag, path)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return fmt.Errorf("--%s: %w", flag, plain(err))
	}
	if err := json.Unmarshal(data, into); err != nil {
		return fmt.Errorf("--%s: %s:%s", flag, path, jsonFault(data, err))
	}
	return nil
}

// jsonFault says in plain words what is wrong with a JSON text, after the line
// where.
func jsonFault(data []byte, err error) string {
	var wrong *json.UnmarshalTypeError
	var broken *json.SyntaxError
	switch {
	case errors.As(err, &wrong):
		return fmt.Sprintf("%d: a JSON %s stands where it does not belong: --help shows the form",
			lineAt(data, wrong.Offset), wrong.Value)
	case errors.As(err, &broken):
		return fmt.Sprintf("%d: %s", lineAt(data, broken.Offset), broken)
	}
	return " " + strings.TrimPrefix(err.Error(), "json: ")
}

// lineAt gives the line, from 1, of an offset into a text.
func lineAt(data []byte, offset int64) int {
	return 1 + bytes.Count(data[:min(max(offset, 0), int64(len(data)))], []byte("\n"))
}

// plain drops the system call's name from a file error.
func plain(err error) error {
	var e *os.PathError
	if errors.As(err, &e) {
		return fmt.Errorf("%s: %w", e.Path, e.Err)
	}
	return err
}
