package boardread

import (
	"os"
	"path"
)

// Names lists the files that a role can be given to, as a role names them, also
// of a board that cannot be read. In a zip these are bare names; what cannot be
// listed has none.
func Names(where string) []string {
	var out []string
	info, err := os.Stat(where)
	if err != nil || !info.IsDir() && (!info.Mode().IsRegular() || info.Size() > maxTotal) {
		return nil
	}
	if info.IsDir() {
		files, err := list(os.DirFS(where))
		if err != nil {
			return nil
		}
		for _, f := range files {
			if f.path != RolesFile {
				out = append(out, f.path)
			}
		}
		return out
	}
	data, err := os.ReadFile(where)
	if err != nil || !isZip(data) {
		return nil
	}
	a, err := unpack(data)
	if err != nil {
		return nil
	}
	seen := map[string]bool{RolesFile: true}
	for _, name := range a.order {
		if base := path.Base(name); !seen[base] {
			seen[base] = true
			out = append(out, base)
		}
	}
	return out
}
